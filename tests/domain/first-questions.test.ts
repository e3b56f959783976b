import { describe, expect, it } from 'vitest'
import type { CallFacts, FirstQuestion, Reported } from '../../src/domain/first-questions/call-facts.ts'
import { ageWords, fanAgeOn } from '../../src/domain/first-questions/fan-age.ts'
import { firstQuestionsOf } from '../../src/domain/first-questions/first-questions-of.ts'

const known: CallFacts = {
  system: 'with-fan',
  gauge: true,
  baseline: { value: '1.2', unit: 'in. w.c.', adopted: null },
  fanAge: { atLeast: 4, atMost: 4 },
}
const noSystem: CallFacts = { system: 'none', gauge: false, baseline: null, fanAge: null }
const passive: CallFacts = { system: 'passive', gauge: true, baseline: null, fanAge: null }
const bare: CallFacts = { system: 'with-fan', gauge: false, baseline: null, fanAge: null }
const homes = { known, bare, passive, noSystem }

const everyReport: readonly Reported[] = [
  ...(['alarm', 'gauge-at-zero', 'gauge-changed', 'noise', 'water', 'ice', 'odour'] as const),
  ...(['high-result', 'damage', 'power', 'other', 'sold'] as const),
]
const keys = (reported: Reported, facts: CallFacts) => firstQuestionsOf(reported, facts).map(({ key }) => key)
const wordsOf = ({ ask, why, meanings }: FirstQuestion) =>
  [ask, why, ...meanings.flatMap(({ answer, means }) => [answer, means])].join(' ')
const allWords = (reported: Reported, facts: CallFacts) => firstQuestionsOf(reported, facts).map(wordsOf).join(' ')

describe('the first questions for what is reported', () => {
  const table: readonly (readonly [Reported, keyof typeof homes, readonly [string, string, string]])[] = [
    ['alarm', 'known', ['gauge-now', 'current', 'hum-and-air']],
    ['alarm', 'bare', ['hum-and-air', 'current', 'gauge-now']],
    ['alarm', 'passive', ['fan-on-passive', 'gauge-now', 'hum-and-air']],
    ['alarm', 'noSystem', ['is-there-one', 'gauge-now', 'hum-and-air']],
    ['gauge-at-zero', 'known', ['hum-and-air', 'gauge-itself', 'current']],
    ['gauge-at-zero', 'bare', ['gauge-now', 'hum-and-air', 'current']],
    ['gauge-at-zero', 'passive', ['fan-on-passive', 'gauge-now', 'hum-and-air']],
    ['gauge-changed', 'known', ['gauge-now', 'what-happened', 'lid-and-holes']],
    ['noise', 'known', ['which-sound', 'gauge-now', 'what-happened']],
    ['noise', 'noSystem', ['which-sound', 'is-there-one', 'what-happened']],
    ['water', 'known', ['where-is-water', 'sump-pump', 'gauge-now']],
    ['ice', 'known', ['gauge-now', 'how-cold', 'since-milder']],
    ['odour', 'known', ['which-smell', 'combustion', 'lid-and-holes']],
    ['damage', 'known', ['broken-where', 'hum-and-air', 'what-happened']],
    ['power', 'known', ['current', 'hum-and-air', 'gauge-now']],
    ['high-result', 'known', ['which-device', 'closed-house', 'gauge-now']],
    ['high-result', 'noSystem', ['which-device', 'closed-house', 'where-it-stands']],
    ['high-result', 'passive', ['which-device', 'closed-house', 'where-it-stands']],
    ['sold', 'known', ['who-and-when', 'test-wanted', 'papers']],
    ['other', 'known', ['in-their-words', 'gauge-now', 'what-happened']],
    ['other', 'noSystem', ['in-their-words', 'is-there-one', 'what-happened']],
  ]
  it.each(table)('%s, at the home %s: %j', (reported, home, asked) => {
    expect(keys(reported, homes[home])).toEqual(asked)
  })

  it.each(everyReport)(
    'are three different ones at every home, each with a why and what answers mean: %s',
    reported => {
      for (const facts of Object.values(homes)) {
        const questions = firstQuestionsOf(reported, facts)
        expect(new Set(questions.map(({ key }) => key)).size).toBe(3)
        for (const { ask, why, meanings } of questions) {
          expect(ask).toContain('?')
          expect(why).toMatch(/\.$/)
          expect(meanings.length).toBeGreaterThan(0)
        }
      }
    },
  )

  it.each(everyReport)('are at most half a thousand characters to read out in all: %s', reported => {
    for (const facts of Object.values(homes))
      expect(firstQuestionsOf(reported, facts).reduce((sum, { ask }) => sum + ask.length, 0)).toBeLessThan(500)
  })
})

describe('the gauge is held against this home’s own value', () => {
  it('which is said with its unit, and where it came from', () => {
    expect(allWords('alarm', known)).toContain('It stood at 1.2 in. w.c. at the start-up.')
  })

  it('which says so where it was adopted, by whom and when, and that looking well beside it proves less', () => {
    const adopted = { on: '2026-03-03', by: 'Ann Berg' }
    const said = allWords('gauge-changed', { ...known, baseline: { value: '250', unit: 'Pa', adopted } })
    expect(said).toContain('It stood at 250 Pa, adopted on 3 March 2026 by Ann Berg, not a start-up reading.')
    expect(said).toContain('a system that was weak already looks well beside it')
    expect(said).toContain('How it pulled when it was started is not on record.')
    expect(said).not.toContain('The fan pulls as it did.')
  })

  it('and against nothing where it is not known: no figure is right everywhere', () => {
    const unread: CallFacts = { ...known, baseline: null }
    for (const reported of everyReport) expect(allWords(reported, unread), reported).not.toMatch(/\d (in\. w\.c\.|Pa)/)
    expect(allWords('gauge-changed', unread)).toContain('No start-up value of this home is on record')
  })

  it('never rules out a pipe that has parted above the fan', () => {
    expect(allWords('gauge-changed', known)).toContain('A break in the pipe above the fan does not show here.')
  })

  it('is at rest at zero on a pipe without a fan', () => {
    expect(allWords('alarm', passive)).toContain('What a pipe without a fan shows at rest.')
    expect(allWords('alarm', known)).not.toContain('at rest.')
  })
})

describe('the fan’s age', () => {
  const zone = 'America/Chicago'
  const installed = (edtf: string) => ({ at: null, edtf })
  it.each([
    ['2016-11-27', '2026-11-26', 'between', '9 years old'],
    ['2016-11-27', '2026-11-27', 'on the day', '10 years old'],
    ['2011', '2026-06-30', 'of a year known alone', 'between 14 and 15 years old'],
    ['2011-21', '2026-06-30', 'of a spring', '15 years old'],
    ['2009?', '2026-06-30', 'of a doubtful year', 'between 15 and 18 years old'],
    ['2026', '2026-06-30', 'of this year', 'less than a year old'],
    ['2025', '2026-06-30', 'of last year', 'up to a year old'],
  ])('counted from %s is, on %s (%s), %s', (edtf, today, _, words) => {
    expect(ageWords(fanAgeOn(today, installed(edtf), zone)!)).toBe(words)
  })

  it('is not known where its day is not', () => {
    expect(fanAgeOn('2026-06-30', { at: null, edtf: null }, zone)).toBeNull()
    expect(allWords('noise', { ...known, fanAge: null })).toContain('How old the fan is, is not on record')
  })

  it.each([
    [{ atLeast: 9, atMost: 9 }, 'wear is not the first thing to think of'],
    [{ atLeast: 9, atMost: 10 }, 'it may be worn'],
    [{ atLeast: 10, atMost: 10 }, 'bring a fan of its kind'],
  ] as const)('%j says: %s (common practice, no source)', (fanAge, words) => {
    expect(allWords('noise', { ...known, fanAge })).toContain(words)
  })
})
