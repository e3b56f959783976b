import { describe, expect, it } from 'vitest'
import { distanceWords, roughWords, weekdayWords } from '../../src/web/day-words.ts'
import { conversionWords, QuantityText, quantityWords } from '../../src/web/quantity-text.tsx'
import { VerdictMark, verdictWords } from '../../src/web/verdict-mark.tsx'
import { DueDay, InstantText, WhenText } from '../../src/web/when-text.tsx'
import { level } from './results.ts'

const textOf = (html: JSX.Element): string => String(html).replace(/<[^>]+>/g, '')

describe('a due day', () => {
  it('has its weekday, year and how far away it is', () => {
    expect(textOf(DueDay({ day: '2026-05-12', today: '2026-04-21' }))).toBe('Tue 12 May 2026, in 3 weeks')
  })
  it('is due on its day and overdue on the next', () => {
    expect(textOf(DueDay({ day: '2026-03-04', today: '2026-03-04' }))).toBe('Wed 4 March 2026, today')
    expect(textOf(DueDay({ day: '2026-03-04', today: '2026-03-05' }))).toBe('overdue since 4 March')
  })
  it('overdue since another year says the year', () => {
    expect(textOf(DueDay({ day: '2025-12-31', today: '2026-01-01' }))).toBe('overdue since 31 Dec 2025')
  })
})

describe('a day', () => {
  it.each([
    ['2026-03-21', 'tomorrow'],
    ['2026-03-19', 'yesterday'],
    ['2026-04-02', 'in 13 days'],
    ['2026-04-03', 'in 2 weeks'],
    ['2026-06-20', 'in 3 months'],
    ['2028-03-20', 'in 2 years'],
    ['2026-03-06', '2 weeks ago'],
  ])('%s is %s on 20 March 2026', (day, words) => {
    expect(distanceWords(day, '2026-03-20')).toBe(words)
  })
  it('has the right weekday on both sides of 1970', () => {
    expect(weekdayWords('1969-12-31')).toBe('Wed 31 Dec 1969')
    expect(weekdayWords('1970-01-01')).toBe('Thu 1 Jan 1970')
  })
  it.each([
    ['2011', '2011'],
    ['2011-21', 'spring 2011'],
    ['2009?', '2009, unsure'],
    ['2009~', 'about 2009'],
    ['2014-04', 'April 2014'],
    ['201X', 'the 2010s'],
    ['2008/2010', '2008 to 2010'],
  ])('known as %s is told as %s', (rough, words) => {
    expect(roughWords(rough)).toBe(words)
  })
  it('that nobody knows says so', () => {
    expect(textOf(WhenText({ when: { at: null, edtf: null }, zone: 'UTC' }))).toBe('date not known')
  })
})

it('a moment is told on the clock of the home, with its zone', () => {
  const at = Date.parse('2026-03-08T08:30:00Z')
  expect(textOf(InstantText({ at, zone: 'America/Chicago' }))).toBe('Sun 8 March 2026, 03:30 CDT')
  expect(textOf(InstantText({ at: at - 3_600_000, zone: 'America/Chicago' }))).toBe('Sun 8 March 2026, 01:30 CST')
})

describe('a quantity', () => {
  it('stands as reported with the conversion after it', () => {
    expect(textOf(QuantityText({ value: '3.8', unit: 'pCi/L' }))).toBe('3.8 pCi/L (141 Bq/m³)')
    expect(textOf(QuantityText({ value: '148', unit: 'Bq/m3' }))).toBe('148 Bq/m³ (4.0 pCi/L)')
  })
  it('keeps its qualifier in both units, and its uncertainty', () => {
    expect(textOf(QuantityText({ value: '0.3', unit: 'pCi/L', qualifier: '<' }))).toBe('&lt; 0.3 pCi/L (&lt; 11 Bq/m³)')
    expect(quantityWords({ value: '4.10', unit: 'pCi/L', uncertainty: '0.3' })).toBe('4.10 ± 0.3 pCi/L')
  })
  it('of another kind has no conversion', () => {
    expect(conversionWords({ value: '1.4', unit: 'in. w.c.' })).toBeNull()
  })
})

describe('a verdict', () => {
  it('uses the words of its level', () => {
    const over = { outcome: 'at-or-above', reason: null } as const
    expect(verdictWords({ ...over, level })).toBe('At or above the action level of 4.0 pCi/L')
    expect(verdictWords({ ...over, level: { ...level, operator: '>' } })).toBe('Above the action level of 4.0 pCi/L')
    expect(verdictWords({ outcome: 'below', reason: null, level })).toBe('Below the action level of 4.0 pCi/L')
  })
  it('undetermined says why', () => {
    expect(verdictWords({ outcome: 'undetermined', reason: 'never-tested', level: null })).toBe(
      'Undetermined: no test is on record',
    )
  })
  it('has a word and a sign of its own outline for each outcome', () => {
    const outcomes = ['below', 'at-or-above', 'needs-follow-up', 'disagreement', 'undetermined'] as const
    const marks = outcomes.map(outcome => String(VerdictMark({ outcome, reason: null, level, short: true })))
    expect(new Set(marks.map(html => /<path d="([^"]+)"/.exec(html)?.[1])).size).toBe(5)
    expect(new Set(marks.map(html => textOf(html as unknown as JSX.Element))).size).toBe(5)
  })
})
