import type { Qualifier, RadonUnit } from '../domain/facts.ts'
import { exactFrom } from '../domain/quantity/exact.ts'
import { fixedText } from '../domain/quantity/print-exact.ts'
import { converted } from '../domain/quantity/radon-unit.ts'

/** `Bq/m3` as it is printed. */
export const unitWords = (unit: string): string => unit.replace(/m3\b/g, 'm³').replace(/^u/, 'µ')

export type ShownQuantity = {
  readonly value: string
  readonly unit: string
  readonly qualifier?: Qualifier
  readonly uncertainty?: string | null
}

const isRadon = (unit: string): unit is RadonUnit => unit === 'pCi/L' || unit === 'Bq/m3'

/** `3.8 pCi/L`, with `<`, `>` or `± 0.4` where they belong. */
export function quantityWords({ value, unit, qualifier = '=', uncertainty = null }: ShownQuantity): string {
  const mark = qualifier === '=' ? '' : `${qualifier} `
  const spread = uncertainty === null || uncertainty === '' ? '' : ` ± ${uncertainty}`
  return `${mark}${shownValue(value)}${spread} ${unitWords(unit)}`
}

// The exact mean of a record is a fraction or a long decimal, which nobody reported: two places are enough to read it by.
function shownValue(value: string): string {
  const exact = /[/]|[.]\d{4}/.test(value) ? exactFrom(value) : null
  return exact === null ? value : fixedText(exact, 2)
}

/** The same concentration in the other radon unit, rounded for reading; null for anything else. */
export function conversionWords({ value, unit, qualifier = '=' }: ShownQuantity): string | null {
  const exact = exactFrom(value)
  if (exact === null || !isRadon(unit)) return null
  const other: RadonUnit = unit === 'pCi/L' ? 'Bq/m3' : 'pCi/L'
  const mark = qualifier === '=' ? '' : `${qualifier} `
  return `${mark}${fixedText(converted(exact, unit, other), other === 'Bq/m3' ? 0 : 1)} ${unitWords(other)}`
}

/** A number as it was reported, its unit always, the conversion after it in lighter ink: `3.8 pCi/L (141 Bq/m³)`. */
export function QuantityText(props: ShownQuantity & { plain?: boolean }): JSX.Element {
  const conversion = props.plain ? null : conversionWords(props)
  return (
    <span class="quantity">
      <span class="as-reported" safe>
        {quantityWords(props)}
      </span>
      {conversion === null ? '' : <span class="converted" safe>{` (${conversion})`}</span>}
    </span>
  )
}
