import type { RadonUnit } from '../../domain/facts.ts'
import { type DecimalMark, isMissing } from '../monitor-file/number-cell.ts'
import { unitIn, withoutUnit } from '../monitor-file/unit-text.ts'
import { decimalTextIn } from '../table/decimal-text.ts'
import type { GaugeCells } from './home-facts.ts'
import { saysNothing } from './says-nothing.ts'

export type ResultCell =
  | {
      readonly kind: 'result'
      readonly value: string
      readonly qualifier: '=' | '<' | '>'
      readonly unit: RadonUnit | null
    }
  | { readonly kind: 'none' | 'two' | 'unreadable' }

/** Words that stand where no result does. */
const NO_RESULT = /^(?:pending|not tested|no test|needs? test(?:ing)?|declined)$/i

/** A result as written: `4.2`, `<0.3`, `4.2 pCi/L`, `12.4*`. */
export function readResultCell(cell: string, mark: DecimalMark): ResultCell {
  const unit = unitIn(cell)
  const plain = withoutUnit(cell)
    .replace(/[*†]+$/, '')
    .trim()
  if (saysNothing(plain) || isMissing(plain) || NO_RESULT.test(plain)) return { kind: 'none' }
  const sign = /^[<>]/.exec(plain)?.[0] as '<' | '>' | undefined
  const value = decimalTextIn(plain.replace(/^(?:[<>=~]|<=|>=)\s*/, ''), mark)
  if (value !== null && unit !== 'other' && unit !== 'both')
    return { kind: 'result', value, qualifier: sign ?? '=', unit }
  return { kind: /\d\s*(?:\/|&|;|\band\b|,\s)\s*\d/.test(plain) ? 'two' : 'unreadable' }
}

export type GaugeCell =
  | { readonly kind: 'gauge'; readonly value: string; readonly unit: GaugeCells['unit'] | null }
  | { readonly kind: 'none' | 'unreadable' }

const WATER =
  /(?:in(?:ches|\.)?\s*(?:of\s*)?(?:w\.?\s?c\.?|w\.?\s?g\.?|h2o|water)?\.?|["”″]\s*(?:w\.?c\.?|h2o|water)?\.?)$/i
const PASCAL = /\s*(?:pa|pascals?)\.?$/i

/** The unit a gauge's header or cell names. */
export const gaugeUnitIn = (text: string): GaugeCells['unit'] | null => {
  const words = text.trim()
  if (/\bpa\b|pascal/i.test(words)) return 'Pa'
  return /w\.?\s?[cg]\b|h2o|water|\bin\b|inch|["”″]/i.test(words) ? 'in. w.c.' : null
}

/** A gauge's reading: `1.4`, `1.4"`, `1.4 in. w.c.`, `350 Pa`, `.9`. */
export function readGaugeCell(cell: string, mark: DecimalMark): GaugeCell {
  const text = cell.trim()
  if (saysNothing(text) || isMissing(text) || NO_RESULT.test(text)) return { kind: 'none' }
  const unit = PASCAL.test(text) ? 'Pa' : WATER.test(text) && /\D$/.test(text) ? 'in. w.c.' : null
  const number = text.replace(PASCAL, '').replace(WATER, '').replace(/^-\s*/, '').trim()
  const value = decimalTextIn(number, mark)
  return value === null ? { kind: 'unreadable' } : { kind: 'gauge', value, unit }
}
