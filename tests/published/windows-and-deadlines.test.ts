import { describe, expect, test } from 'vitest'
import { evaluateTest } from '../../src/domain/measurement/evaluate-test.ts'
import { standingOf } from '../../src/domain/standing/standing-of.ts'
import { aHome, aTest as aHomeTest, aLongTest, aSystem, instant, policies } from '../support/homes.ts'
import { lawOf } from '../support/laws.ts'
import { aRecording, aTest, aSystem as fanOf, HOUR, hourly, SET_AT } from '../support/test-facts.ts'

const varied = (i: number) => 20 + (i % 5)
const recorded = (hours: number, closedHoursBefore: number, fanHoursBefore: number | null = null) => {
  const systems = fanHoursBefore === null ? [] : [fanOf([['first-start', SET_AT - fanHoursBefore * HOUR]])]
  const facts = aTest({
    purpose: fanHoursBefore === null ? 'pre-mitigation' : 'post-mitigation',
    closedSince: SET_AT - closedHoursBefore * HOUR,
    exposures: [aRecording(hourly(hours, varied))],
  })
  const judged = evaluateTest(facts, { policy: lawOf('US'), zone: 'America/Chicago', systems })
  const [{ usableFrom, usableTo } = { usableFrom: null, usableTo: null }] = judged.exposures
  return { valid: judged.validity !== 'invalid', hours: ((usableTo ?? 0) - (usableFrom ?? 0)) / HOUR }
}

describe('the hours of a monitor that count in the United States', () => {
  // EPA 402-R-92-004 2.1 (read in a secondary page): 48 h, of which 44 hang together once the first 4 are left out.
  test('are 44 of a record of 48 h', () => {
    expect(recorded(48, 12)).toEqual({ valid: true, hours: 44 })
    expect(recorded(47, 12)).toEqual({ valid: false, hours: 43 })
  })

  // ANSI/AARST MAH-2019 6.1.2c and 7.3.2. The two documents ask for 44 and 46 h; that 46 is asked only where hours were
  // left out for a late closing or a late fan is our reading of how they fit together, and doubtful.
  test('are 46 behind twelve hours of closing, where the house was closed as the test began', () => {
    expect(recorded(58, 0)).toEqual({ valid: true, hours: 46 })
    expect(recorded(57, 0)).toEqual({ valid: false, hours: 45 })
  })
  test('are 46 behind a day of fan running, where the fan came on as the test began', () => {
    expect(recorded(70, 12, 0)).toEqual({ valid: true, hours: 46 })
    expect(recorded(69, 12, 0)).toEqual({ valid: false, hours: 45 })
  })
})

const now = instant('2026-11-25T18:00:00Z')
const owed = (home: Parameters<typeof standingOf>[0]) =>
  standingOf(home, policies, now).obligations.map(({ kind, earliestOn, dueOn }) => [kind, earliestOn, dueOn])
const feb = '2026-02-10T12:00:00-06:00'
const may = '2026-05-10T12:00:00-05:00'

describe('what is owed and by when', () => {
  // ANSI/AARST MAH-2019 8.5.9.2; SGM-SF 8.4.2.1 (the label's text)
  test('a mitigated home below the level is tested again within two years, another within five', () => {
    const after = aHomeTest('t', may, '1.0 pCi/L', { purpose: 'post-mitigation', systemRunning: 'yes' })
    const mitigated = aHome({ systems: [aSystem('2026-04-01T10:00:00-05:00')], tests: [after] })
    expect(owed(mitigated)).toEqual([['retest', null, '2028-05-10']])
    expect(owed(aHome({ tests: [aHomeTest('t', feb, '1.0 pCi/L')] }))).toEqual([['retest', null, '2031-02-10']])
  })

  // Earliest: MAH-2019 7.3.2, 24 h after the fan's start. Latest: EPA Consumer's Guide, within 30 days (secondary page).
  test('a new system is tested from 24 hours to 30 days after its fan started', () => {
    const home = aHome({ systems: [aSystem('2026-04-01T10:00:00-05:00')], tests: [aHomeTest('t', feb, '9.0 pCi/L')] })
    expect(owed(home)).toEqual([['post-mitigation-test', '2026-04-02', '2026-05-01']])
  })

  // Government of Canada Radon Guideline, 2007. Its table of time frames could not be read in full: the days are from an
  // overview page, the rule is marked unverified, and where exactly 600 falls is doubtful.
  test.each([
    ['200', []],
    ['201', [['mitigation', null, '2028-02-10']]],
    ['600', [['mitigation', null, '2028-02-10']]],
    ['601', [['mitigation', null, '2027-02-10']]],
  ])('in Canada a long-term result of %s Bq/m3 is acted on within two years, above 600 within one', (value, duties) => {
    const tests = [aLongTest('t', feb, `${value} Bq/m3`)]
    expect(owed(aHome({ jurisdiction: 'CA-ON', zone: 'America/Toronto', tests }))).toEqual(duties)
  })

  // Minnesota and Illinois speak of reports to the state, not of tests: no day that is owed for a home follows.
  // EPA names no time for the follow-up or the repair; 90 days, two weeks and six months are common practice, no source.
  test('a first result at the level is followed up, more than twice the level at once', () => {
    expect(owed(aHome({ tests: [aHomeTest('t', feb, '4.0 pCi/L')] }))).toEqual([['follow-up-test', null, '2026-05-11']])
    expect(owed(aHome({ tests: [aHomeTest('t', feb, '8.1 pCi/L')] }))).toEqual([['follow-up-test', null, '2026-02-24']])
  })
})
