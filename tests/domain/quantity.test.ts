import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { RadonUnit } from '../../src/domain/facts.ts'
import { exact, exactFrom, roundHalfUp } from '../../src/domain/quantity/exact.ts'
import { exactText, fixedText, shownText } from '../../src/domain/quantity/print-exact.ts'
import { converted } from '../../src/domain/quantity/radon-unit.ts'

const decimals = fc
  .tuple(fc.bigInt({ min: -(10n ** 20n), max: 10n ** 20n }), fc.integer({ min: 1, max: 12 }))
  .map(([digits, places]) => {
    const text = (digits < 0n ? -digits : digits).toString().padStart(places + 1, '0')
    return `${digits < 0n ? '-' : ''}${text.slice(0, -places)}.${text.slice(-places)}`
  })
const units = fc.constantFrom<RadonUnit>('pCi/L', 'Bq/m3')

describe('numbers', () => {
  it('come back exactly from another unit, whatever their size and decimals', () => {
    fc.assert(
      fc.property(decimals, units, units, (text, from, to) => {
        const value = exact(text)
        expect(converted(converted(value, from, to), to, from).equals(value)).toBe(true)
      }),
    )
  })

  it('are read back from what they are printed as, converted ones as fractions too', () => {
    fc.assert(
      fc.property(decimals, units, (text, to) => {
        const value = converted(exact(text), 'Bq/m3', to)
        expect(exactFrom(exactText(value))?.equals(value)).toBe(true)
      }),
    )
  })

  it('keep their order in another unit', () => {
    fc.assert(
      fc.property(decimals, decimals, (a, b) => {
        const inBecquerels = (text: string) => converted(exact(text), 'pCi/L', 'Bq/m3')
        expect(Math.sign(inBecquerels(a).compare(inBecquerels(b)))).toBe(Math.sign(exact(a).compare(exact(b))))
      }),
    )
  })

  it('are rounded to within half a step, a half away from zero', () => {
    fc.assert(
      fc.property(decimals, fc.integer({ min: 0, max: 3 }), (text, places) => {
        const value = exact(text)
        const step = exact(places === 0 ? '1' : `0.${'1'.padStart(places, '0')}`)
        const off = roundHalfUp(value, places).sub(value).abs()
        expect(off.compare(step.div(2))).toBeLessThanOrEqual(0)
        expect(exact(fixedText(value, places)).equals(roundHalfUp(value, places))).toBe(true)
      }),
    )
    expect([fixedText(exact('3.95'), 1), fixedText(exact('-3.95'), 1)]).toEqual(['4.0', '-4.0'])
  })

  it('are shown with at least the decimals asked for, and cut with a mark', () => {
    expect([shownText(exact('3')), shownText(exact('3'), 3, 1), exactText(exact('3'), 1)]).toEqual(['3', '3.0', '3.0'])
    expect([shownText(exact('3.25'), 3, 1), shownText(exact('1/3'), 3, 1)]).toEqual(['3.25', '0.333…'])
  })
})
