import { describe, expect, it } from 'vitest'
import type { ExposureFacts, SystemFacts, TestFacts } from '../../src/domain/facts.ts'
import { evaluateTest } from '../../src/domain/measurement/evaluate-test.ts'
import { lawOf } from '../support/laws.ts'
import { anExposure, aRecording, aSystem, aTest, BASEMENT, HOUR, hourly, SET_AT } from '../support/test-facts.ts'

const US = lawOf('US')
const evaluated = (test: TestFacts, systems: readonly SystemFacts[] = []) =>
  evaluateTest(test, { policy: US, zone: 'America/Chicago', systems })
const of = (over: Partial<TestFacts>, systems: readonly SystemFacts[] = []) => {
  const { findings, validity } = evaluated(aTest(over), systems)
  return { codes: findings.map(({ code, effect }) => `${code} ${effect}`), validity }
}
const standing = (over: Partial<ExposureFacts>) => of({ exposures: [anExposure(over)] })
const lasting = (hours: number): Partial<ExposureFacts> => ({ stopAt: SET_AT + hours * HOUR })
const MINUTE = HOUR / 60

describe('a test in order', () => {
  it('is valid and has nothing found', () => {
    expect(of({})).toEqual({ codes: [], validity: 'valid' })
    expect(of({ exposures: [aRecording(hourly(48, i => 20 + (i % 5)))] })).toEqual({ codes: [], validity: 'valid' })
  })
})

describe('duration', () => {
  it('is enough at 48 h and not at 47 h 59 min', () => {
    expect(standing(lasting(48)).validity).toBe('valid')
    expect(standing({ stopAt: SET_AT + 48 * HOUR - MINUTE })).toEqual({
      codes: ['duration invalidates'],
      validity: 'invalid',
    })
  })

  it('is measured, where the method is not known, against what any method asks for and what some method does', () => {
    const law = lawOf('WHO')
    const { minimumHours } = law.rules
    // seed/jurisdictions/who.2009.json: 48 h, for an alpha track 720 h.
    expect([minimumHours?.value.electret, minimumHours?.value['alpha-track']]).toEqual([48, 720])
    const lengthOf = (hours: number) =>
      evaluateTest(aTest({ method: 'unknown', exposures: [anExposure(lasting(hours))] }), {
        policy: law,
        zone: 'Europe/Zurich',
        systems: [],
      }).findings.filter(({ code }) => code === 'duration')
    expect(lengthOf(47)).toMatchObject([{ effect: 'invalidates', allowed: 'at least 48 h' }])
    expect(lengthOf(48)).toMatchObject([{ effect: 'warns', found: '48 h, the method not known' }])
    expect(lengthOf(719)).toMatchObject([{ effect: 'warns' }])
    expect(lengthOf(720)).toEqual([])
  })

  it('that nobody wrote down is told and does not invalidate', () => {
    expect(standing({ stopAt: null }).codes).toContain('duration warns')
  })

  it('makes a test long-term at 91 days and not an hour before', () => {
    const termOf = (hours: number) => evaluated(aTest({ exposures: [anExposure(lasting(hours))] })).term
    expect(termOf(91 * 24)).toBe('long')
    expect(termOf(91 * 24 - 1)).toBe('short')
  })
})

describe('a monitor record', () => {
  const recorded = (values: (i: number) => number | null, hours = 48) =>
    of({ exposures: [aRecording(hourly(hours, values))] })
  const varied = (i: number) => 20 + (i % 5)

  it('without 44 contiguous usable hours is invalid and says where it broke', () => {
    const broken = (i: number) => (i === 20 ? null : varied(i))
    const { findings, validity } = evaluated(aTest({ exposures: [aRecording(hourly(48, broken))] }))
    expect(validity).toBe('invalid')
    const finding = findings.find(({ code }) => code === 'contiguous-hours')
    expect(finding).toMatchObject({
      at: SET_AT + 20 * HOUR,
      allowed: 'at least 44 h without a break',
      found: '27 h, then the record breaks',
    })
  })

  it('with a break is valid with notes when 44 h hang together, and invalid with 43', () => {
    expect(recorded(i => (i === 3 ? null : varied(i))).validity).toBe('valid')
    expect(recorded(i => (i === 4 ? null : varied(i)), 49)).toEqual({
      codes: ['gap warns'],
      validity: 'valid-with-notes',
    })
    expect(recorded(i => (i === 5 ? null : varied(i)), 49).codes).toEqual(['gap warns', 'contiguous-hours invalidates'])
  })

  it('whose device corrected its first hours counts from its first reading', () => {
    const series = hourly(48, varied, { deviceCorrectedFirstHours: true })
    const { exposures } = evaluated(aTest({ exposures: [aRecording(series)] }))
    expect(exposures[0]).toMatchObject({ usableFrom: SET_AT, leftOut: [] })
  })

  it('leaves out its first four hours, whatever they read', () => {
    const { exposures } = evaluated(aTest({ exposures: [aRecording(hourly(48, i => (i < 4 ? 900 : 30)))] }))
    expect(exposures[0]!.result).toEqual({ value: '3.0', unit: 'pCi/L', qualifier: '=' })
    expect(exposures[0]!.working!.lines[0]).toMatchObject({ left: '4 h', right: 'left out' })
  })

  it('below zero is impossible', () => {
    expect(recorded(i => (i === 30 ? -1 : varied(i))).codes).toEqual(['impossible-value invalidates'])
  })

  it('that never moves is told', () => {
    expect(recorded(() => 30).codes).toEqual(['stuck warns'])
  })
})

describe('closing the building', () => {
  const closed = (hoursBefore: number, over: Partial<TestFacts> = {}) =>
    of({ closedSince: SET_AT - hoursBefore * HOUR, ...over })
  const recorded = (hours: number) => ({ exposures: [aRecording(hourly(hours, i => 20 + (i % 5)))] })

  it('12 h before a test under 96 h is enough, 11 h 59 min is not', () => {
    expect(closed(12).validity).toBe('valid')
    expect(closed(12 - 1 / 60)).toEqual({ codes: ['closed-before invalidates'], validity: 'invalid' })
  })

  it('late is made up for by 46 h of record after 12 h closed, and not by 45', () => {
    expect(closed(0, recorded(58))).toEqual({ codes: ['closed-before warns'], validity: 'valid-with-notes' })
    expect(closed(0, recorded(57)).codes).toEqual(['contiguous-hours invalidates', 'closed-before invalidates'])
  })

  it('late is made up for by four days closed', () => {
    expect(closed(6, { exposures: [anExposure(lasting(90))] }).validity).toBe('valid-with-notes')
    expect(closed(6, { exposures: [anExposure(lasting(89))] }).validity).toBe('invalid')
  })

  it('beforehand is not asked of a test of 96 h', () => {
    expect(closed(1, { exposures: [anExposure(lasting(96))] }).validity).toBe('valid')
    expect(closed(1, { exposures: [anExposure(lasting(94))] }).validity).toBe('invalid')
  })

  it('is asked all through a test of up to 90 days', () => {
    const open = (days: number) =>
      of({
        closedDuring: 'no',
        exposures: [
          anExposure({
            ...lasting(days * 24),
            calibrations: [{ calibratedOn: '2025-10-01', validUntil: '2026-10-01' }],
          }),
        ],
      })
    expect(open(90).codes).toContain('closed-during invalidates')
    expect(open(91).codes).not.toContain('closed-during invalidates')
  })

  it('that nobody wrote down is told and does not invalidate', () => {
    expect(of({ closedSince: null, closedDuring: 'unknown' })).toEqual({
      codes: ['closed-during warns', 'closed-before warns'],
      validity: 'valid-with-notes',
    })
  })
})

describe('the fan', () => {
  const fanOn = (hoursBefore: number, over: Partial<TestFacts> = {}) =>
    of({ purpose: 'post-mitigation', ...over }, [aSystem([['first-start', SET_AT - hoursBefore * HOUR]])])

  it('24 h before a test under 96 h is enough, a minute less is not', () => {
    expect(fanOn(24).validity).toBe('valid')
    expect(fanOn(24 - 1 / 60).codes).toEqual(['fan-running invalidates'])
  })

  it('started late leaves a record that still has 46 h after 24 h of running', () => {
    const recorded = (hours: number) => ({ exposures: [aRecording(hourly(hours, i => 20 + (i % 5)))] })
    expect(fanOn(4, recorded(66)).codes).toEqual(['fan-running warns'])
    expect(fanOn(4, recorded(65)).validity).toBe('invalid')
  })

  it('is not asked after before mitigation, nor of a test of 96 h', () => {
    expect(fanOn(1, { purpose: 'pre-mitigation' }).validity).toBe('valid')
    expect(fanOn(1, { exposures: [anExposure(lasting(96))] }).validity).toBe('valid')
  })

  it('whose start is known to a year long past is in order; to this month only roughly', () => {
    const since = (edtf: string) => of({ purpose: 'post-mitigation' }, [aSystem([['first-start', edtf]])]).codes
    expect(since('2011')).toEqual([])
    expect(since('2025-11')).toEqual(['fan-running warns'])
  })

  it('without a recorded start is told', () => {
    expect(of({ purpose: 'post-mitigation' }, [aSystem([])]).codes).toEqual(['fan-running warns'])
  })

  it('off for an hour of the test invalidates it, off before it does not', () => {
    const off = (from: number, to: number) =>
      of({ purpose: 'retest', exposures: [anExposure(lasting(120))] }, [
        aSystem([
          ['first-start', '2020'],
          ['off', SET_AT + from * HOUR],
          ['on', SET_AT + to * HOUR],
        ]),
      ]).codes
    expect(off(20, 21)).toContain('system-off invalidates')
    expect(off(-80, -72)).toEqual([])
  })

  it('that had not started yet is nothing to be warned of, whatever the test was made for', () => {
    const codesBefore = (
      purpose: TestFacts['purpose'],
      systemRunning: TestFacts['systemRunning'],
      startHours: number,
    ) => of({ purpose, systemRunning }, [aSystem([['first-start', SET_AT + startHours * HOUR]])]).codes
    for (const purpose of ['pre-mitigation', 'real-estate', 'follow-up', 'retest'] as const) {
      expect(codesBefore(purpose, 'no', 48)).toEqual([])
      expect(codesBefore(purpose, 'unknown', 48)).toEqual([])
    }
    expect(codesBefore('real-estate', 'no', 47)).toContain('system-off invalidates')
    const planned = { ...aSystem([]), events: [] }
    expect(of({ purpose: 'real-estate', systemRunning: 'no' }, [planned]).codes).toEqual([])
    const inherited = { ...planned, installedBy: 'unknown' as const }
    expect(of({ purpose: 'real-estate', systemRunning: 'no' }, [inherited]).codes).toEqual(['system-off invalidates'])
  })

  it('noted as not running invalidates, not noted is told', () => {
    const running = (systemRunning: TestFacts['systemRunning']) =>
      of({ purpose: 'retest', systemRunning }, [aSystem([['first-start', '2020']])]).codes
    expect(running('no')).toEqual(['system-off invalidates'])
    expect(running('unknown')).toEqual(['system-off warns'])
  })
})

describe('the device', () => {
  const calibrated = (validUntil: string) =>
    standing({ calibrations: [{ calibratedOn: '2025-02-01', validUntil }] }).codes

  it('must be in calibration to the day the test ends', () => {
    expect(calibrated('2025-11-05')).toEqual([])
    expect(calibrated('2025-11-04')).toEqual(['calibration invalidates'])
  })

  it('calibrated after the test began was not in calibration', () => {
    expect(standing({ calibrations: [{ calibratedOn: '2025-11-04', validUntil: '2026-11-04' }] }).codes).toEqual([
      'calibration invalidates',
    ])
  })

  it('without a calibration on record is told', () => {
    expect(standing({ calibrations: [] }).codes).toEqual(['calibration warns'])
  })

  it('of a lot must be in date to the day the test ends', () => {
    const lot = (lotExpiresOn: string | null) =>
      of({ method: 'activated-charcoal', exposures: [anExposure({ lotExpiresOn })] }).codes
    expect(lot('2025-11-05')).toEqual([])
    expect(lot('2025-11-04')).toEqual(['lot-expiry invalidates'])
    expect(lot(null)).toEqual(['lot-expiry warns'])
  })
})

describe('the place', () => {
  const placed = (over: Partial<ExposureFacts['placement']>) =>
    standing({ placement: { ...anExposure().placement, ...over } }).codes

  it.each([
    ['heightCm', 50, 49, 'height'],
    ['fromOpeningCm', 90, 89, 'from-opening'],
    ['fromExteriorWallCm', 30, 29, 'from-exterior-wall'],
    ['fromHeatCm', 120, 119, 'from-heat'],
    ['fromObjectCm', 10, 9, 'from-object'],
  ] as const)('%s is in order at %i cm and told at %i', (fact, enough, short, code) => {
    expect(placed({ [fact]: enough })).toEqual([])
    expect(placed({ [fact]: short })).toEqual([`${code} warns`])
  })

  it('in a room where no test is made invalidates', () => {
    expect(standing({ location: { ...BASEMENT, roomKind: 'Bathroom' } }).codes).toEqual(['room invalidates'])
  })

  it('that nobody measured is told once', () => {
    expect(placed({ heightCm: null, fromHeatCm: null })).toEqual(['placement-unknown warns'])
  })
})

describe('weather and meddling', () => {
  it('severe weather invalidates a test under 96 h and not one of 96 h', () => {
    const stormy = (hours: number) => of({ severeWeather: 'yes', exposures: [anExposure(lasting(hours))] }).codes
    expect(stormy(95)).toEqual(['severe-weather invalidates'])
    expect(stormy(96)).toEqual([])
  })

  it('tampering invalidates; not noted is told', () => {
    expect(of({ tampering: 'yes' }).codes).toEqual(['tampering invalidates'])
    expect(of({ tampering: 'unknown' }).codes).toEqual(['tampering warns'])
  })
})

describe('blanks and spikes', () => {
  it('never count as results and are not held against the rules', () => {
    const blank = anExposure({
      id: 'blank',
      role: 'blank',
      startAt: null,
      stopAt: null,
      result: { value: '9.0', unit: 'pCi/L', qualifier: '=', uncertainty: null },
    })
    const test = evaluated(aTest({ exposures: [anExposure(), blank, { ...blank, id: 'spike', role: 'spike' }] }))
    expect(test).toMatchObject({ outcome: 'below', validity: 'valid' })
    expect(test.exposures.map(({ role }) => role)).toEqual(['measurement', 'blank', 'spike'])
  })

  it('alone go to the laboratory and back, and say nothing of the home', () => {
    const blank = anExposure({ role: 'blank', startAt: null, stopAt: null })
    const atLaboratory = { pickedUpAt: SET_AT + 48 * HOUR, sentToLabAt: SET_AT + 50 * HOUR }
    const test = (over: Partial<ExposureFacts>) =>
      evaluated(aTest({ ...atLaboratory, exposures: [{ ...blank, ...over }] }))
    expect(test({ result: null })).toMatchObject({ stage: 'at-laboratory', validity: null, outcome: null })
    expect(test({})).toMatchObject({ stage: 'result-in', validity: null, outcome: null, findings: [] })
  })
})

describe('the stage of a test', () => {
  const bare = { setAt: null, exposures: [anExposure({ startAt: null, stopAt: null, result: null })] }
  it.each([
    ['planned', {}],
    ['set', { setAt: SET_AT }],
    ['picked-up', { setAt: SET_AT, pickedUpAt: SET_AT + HOUR }],
    ['at-laboratory', { setAt: SET_AT, pickedUpAt: SET_AT + HOUR, sentToLabAt: SET_AT + 2 * HOUR }],
  ] as const)('is %s by the facts known, with nothing judged yet', (stage, over) => {
    expect(evaluated(aTest({ ...bare, ...over }))).toMatchObject({ stage, validity: null, findings: [], outcome: null })
  })
})

describe('the outcome of a test alone', () => {
  const resulted = (value: string, over: Partial<ExposureFacts> = {}) =>
    evaluated(
      aTest({
        exposures: [anExposure({ result: { value, unit: 'pCi/L', qualifier: '=', uncertainty: null }, ...over })],
      }),
    ).outcome

  it('is at or above from 4.0 and below at 3.94', () => {
    expect(resulted('4.0')).toBe('at-or-above')
    expect(resulted('3.95')).toBe('at-or-above')
    expect(resulted('3.94')).toBe('below')
  })

  it('is at or above where one place is, though a pair elsewhere disagrees, as the verdict has it', () => {
    const at = (id: string, value: string, pairKey: string | null, location = BASEMENT) =>
      anExposure({ id, pairKey, location, result: { value, unit: 'pCi/L', qualifier: '=', uncertainty: null } })
    const den = { ...BASEMENT, id: 'den', name: 'Den' }
    const pair = [at('1', '3.0', 'a'), at('2', '6.0', 'a')]
    expect(evaluated(aTest({ exposures: pair })).outcome).toBe('disagreement')
    expect(evaluated(aTest({ exposures: [...pair, at('3', '9.0', null, den)] })).outcome).toBe('at-or-above')
  })

  it('is none for an invalid test', () => {
    expect(resulted('9.0', lasting(20))).toBeNull()
  })

  it('is undetermined when "below 5" says nothing about 4', () => {
    const censored = anExposure({ result: { value: '5', unit: 'pCi/L', qualifier: '<', uncertainty: null } })
    expect(evaluated(aTest({ exposures: [censored] })).outcome).toBe('undetermined')
  })
})
