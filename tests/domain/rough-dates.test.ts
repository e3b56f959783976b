import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { edtfDays } from '../../src/domain/calendar/edtf.ts'
import type { HomeFacts, SystemEventKind, SystemFacts, When } from '../../src/domain/facts.ts'
import { standingOf } from '../../src/domain/standing/standing-of.ts'
import { aHome, aSystem, aTest, instant, policies } from '../support/homes.ts'

const now = instant('2026-11-25T18:00:00Z')
const roughly = (edtf: string | null): When => ({ at: null, edtf })
const exactly = (text: string): When => ({ at: instant(text), edtf: null })
const event = (kind: SystemEventKind, when: When, id: string = kind) => ({ id, kind, when })
const withEvents = (...events: SystemFacts['events']) => aSystem(null, { events })
const stands = (home: Partial<HomeFacts>) => standingOf(aHome(home), policies, now)

describe('a date known only roughly', () => {
  it.each([
    ['2011', '2011-01-01', '2011-12-31'],
    ['2011-04', '2011-04-01', '2011-04-30'],
    ['2012-02', '2012-02-01', '2012-02-29'],
    ['2011-21', '2011-03-01', '2011-05-31'],
    ['2011-24', '2010-12-01', '2011-02-28'],
    ['201X', '2010-01-01', '2019-12-31'],
    ['2011-04-09', '2011-04-09', '2011-04-09'],
    ['2009/2011-04', '2009-01-01', '2011-04-30'],
  ])('%s means the days from %s to %s', (text, earliest, latest) => {
    expect(edtfDays(text)).toEqual({ earliest, latest })
  })

  it.each([
    ['2009?', '2008-01-01', '2010-12-31'],
    ['2011-04~', '2011-03-01', '2011-05-31'],
    ['2011-12?', '2011-11-01', '2012-01-31'],
    ['2011-21%', '2010-12-01', '2011-08-31'],
    ['201X?', '2000-01-01', '2029-12-31'],
    ['2011-04-09?', '2011-04-08', '2011-04-10'],
  ])('%s is doubtful and may be its neighbour: from %s to %s', (text, earliest, latest) => {
    expect(edtfDays(text)).toEqual({ earliest, latest })
  })

  it.each(['', '?', '11', '2011-13', '2011-25', '2011-02-30', 'spring 2011', '2012/2011', '2011/2012/2013', '2011??'])(
    'is not read from %j',
    text => {
      expect(edtfDays(text)).toBeNull()
    },
  )

  it('contains every exact day that was written more roughly, and a doubtful one contains it too', () => {
    const days = fc.date({
      min: new Date('1950-01-01T00:00:00Z'),
      max: new Date('2030-12-31T00:00:00Z'),
      noInvalidDate: true,
    })
    fc.assert(
      fc.property(days, date => {
        const day = date.toISOString().slice(0, 10)
        for (const text of [day, day.slice(0, 7), day.slice(0, 4), `${day.slice(0, 3)}X`]) {
          const plain = edtfDays(text)!
          const doubted = edtfDays(`${text}?`)!
          expect(plain.earliest <= day && day <= plain.latest).toBe(true)
          expect(doubted.earliest < plain.earliest && plain.latest < doubted.latest).toBe(true)
        }
      }),
    )
  })
})

describe('a system that started on a day known only roughly', () => {
  const started = (edtf: string | null) => [withEvents(event('first-start', roughly(edtf)))]
  const testIn = (stop: string) => [aTest('t', stop, '9.0 pCi/L')]
  const verdict = (edtf: string | null, stop: string) => stands({ systems: started(edtf), tests: testIn(stop) }).verdict

  it('leaves a test of that time undetermined, and says what would settle it', () => {
    expect(verdict('2011', '2011-06-10T12:00:00Z')).toMatchObject({
      outcome: 'undetermined',
      reason: 'order-unknown',
      settledBy: 'The day of the change, or a test with the system as it stands now.',
      working: { inputs: [{ label: 'The system started', value: '2011' }] },
    })
  })
  it('is later than a test of the year before, and earlier than one of the year after', () => {
    expect(verdict('2011', '2010-12-31T12:00:00Z').reason).toBe('altered-since-test')
    expect(verdict('2011', '2012-01-08T12:00:00Z').outcome).toBe('at-or-above')
  })
  it('but doubtfully, leaves a test of the year beside it undetermined too', () => {
    expect(verdict('2011?', '2010-12-31T12:00:00Z').reason).toBe('order-unknown')
    expect(verdict('2011?', '2012-01-08T12:00:00Z').reason).toBe('order-unknown')
    expect(verdict('2011?', '2009-12-31T12:00:00Z').reason).toBe('altered-since-test')
  })
  it('owes its test from the last day that it can mean, and is said to', () => {
    const [owed] = stands({ systems: started('2011-04'), tests: testIn('2010-06-10T12:00:00Z') }).obligations
    expect(owed).toMatchObject({ kind: 'post-mitigation-test', earliestOn: null, dueOn: '2011-05-30' })
    expect(owed!.working.inputs).toEqual([
      { label: 'System started', value: '2011-04, counted from 2011-04-30, the last day it can mean' },
    ])
    expect(owed!.because[0]!.text).toBe('system started, and not tested since')
  })
  it('on a day nobody knows, counts from the day the home was recorded, and is said to', () => {
    const [owed] = stands({ systems: started(null), tests: [] }).obligations
    expect(owed!.working.inputs[0]!.value).toBe('day unknown, counted from 2024-01-10, the last day it can mean')
  })
  it('prints no day that nobody wrote down in its verdict', () => {
    const texts = fc.constantFrom('2011', '2011-04', '2011-21', '201X', '2009?', '2011~', '2010/2012')
    const stops = fc.integer({ min: instant('2005-01-01T12:00:00Z'), max: instant('2020-01-01T12:00:00Z') })
    fc.assert(
      fc.property(texts, stops, (edtf, at) => {
        const { working, reason } = verdict(edtf, new Date(at).toISOString())
        if (reason === null) return
        expect(working.inputs).toEqual([{ label: 'The system started', value: edtf }])
      }),
    )
  })
  it('made vaguer by a coarser date never gives a verdict that the finer one did not', () => {
    const stops = fc.integer({ min: instant('2009-01-01T12:00:00Z'), max: instant('2014-01-01T12:00:00Z') })
    fc.assert(
      fc.property(stops, at => {
        const stop = new Date(at).toISOString()
        const [finer, coarser, doubtful] = ['2011-04', '2011', '2011?'].map(edtf => verdict(edtf, stop).outcome)
        if (coarser !== 'undetermined') expect(finer).toBe(coarser)
        if (doubtful !== 'undetermined') expect(coarser).toBe(doubtful)
      }),
    )
  })
})

describe('a part put in on a day known only roughly', () => {
  const fan = (edtf: string) => ({
    id: 'fan',
    kind: 'fan',
    model: 'any',
    installed: roughly(edtf),
    removed: null,
  })
  const started = event('first-start', exactly('2011-06-01T15:00:00Z'))
  const after = aTest('t', '2011-07-10T12:00:00Z', '1.0 pCi/L', { purpose: 'post-mitigation', systemRunning: 'yes' })
  const reason = (edtf: string) =>
    stands({ systems: [{ ...withEvents(started), components: [fan(edtf)] }], tests: [after] }).verdict.reason

  it('came with the system where it may have, and is a change only where it was surely later', () => {
    expect(reason('2011')).toBeNull()
    expect(reason('2012')).toBe('altered-since-test')
  })
})

describe('a system switched off on a day known only roughly', () => {
  const state = (...events: SystemFacts['events']) => stands({ systems: [withEvents(...events)] }).system
  const first = event('first-start', exactly('2010-06-01T15:00:00Z'))

  it('is off, unless it surely came on again', () => {
    expect(state(first)).toBe('running')
    expect(state(first, event('off', roughly('2015')))).toBe('off')
    expect(state(first, event('off', roughly('2015')), event('on', roughly('2016')))).toBe('running')
  })
  it('is neither running nor off where the days leave it open', () => {
    expect(state(first, event('off', roughly('2015')), event('on', roughly('2015-04')))).toBe('unknown')
    expect(state(first, event('off', roughly(null)), event('on', exactly('2015-04-01T12:00:00Z')))).toBe('unknown')
  })
  it('says nothing of today by its older tests, and says what would settle it', () => {
    const tests = [aTest('t', '2014-07-10T12:00:00Z', '1.0 pCi/L', { purpose: 'retest', systemRunning: 'yes' })]
    const { verdict } = stands({ systems: [withEvents(first, event('off', roughly('2015')))], tests })
    expect(verdict).toMatchObject({
      outcome: 'undetermined',
      settledBy: 'Starting the system again, or noting the day it was started.',
      working: { inputs: [{ label: 'The system is off', value: '2015' }] },
    })
  })
})

describe('a renovation known only roughly', () => {
  const tests = [aTest('t', '2026-02-10T12:00:00Z', '1.0 pCi/L')]
  const because = (edtf: string) => {
    const renovated = { id: 'e', kind: 'renovation' as const, when: roughly(edtf) }
    return stands({ tests, events: [renovated] }).obligations.flatMap(owed => owed.because.map(({ text }) => text))
  }
  it('in the year of the test was perhaps after it; in the year before it was not', () => {
    expect(because('2026')).toContain('renovated, perhaps since the last test')
    expect(because('2026-06')).toContain('renovated since the last test')
    expect(because('2025')).toEqual(['a home below its level is tested again'])
  })
})
