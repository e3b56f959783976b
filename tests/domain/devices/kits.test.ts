import { describe, expect, it } from 'vitest'
import { byUrgency, type Chase } from '../../../src/domain/devices/chase.ts'
import { chaseOfKit, neverReturned } from '../../../src/domain/devices/chase-kit.ts'
import { type KitFacts, type KitLimits, kitStateOf } from '../../../src/domain/devices/kit-facts.ts'

const kit = (more: Partial<KitFacts> = {}): KitFacts => ({
  number: 'K-1',
  lotExpiresOn: null,
  leftOn: '2026-03-01',
  exposedFrom: null,
  exposedTo: null,
  postedOn: null,
  answeredOn: null,
  returnedOn: null,
  lostOn: null,
  ...more,
})
// Common practice, no source: the company's own days.
const limits: KitLimits = { askAfterDays: 9, longestExposureDays: 7, laboratoryWithinDays: 8, answerWithinDays: 21 }
const exposed = { exposedFrom: '2026-03-02', exposedTo: '2026-03-06' }
const posted = { ...exposed, postedOn: '2026-03-07' }

describe('how far a kit has come', () => {
  it.each([
    ['left', {}],
    ['in-place', { exposedFrom: '2026-03-02' }],
    ['to-post', exposed],
    ['posted', posted],
    ['posted', { postedOn: '2026-03-07' }],
    ['answered', { ...posted, answeredOn: '2026-03-12' }],
    ['answered', { lostOn: '2026-03-10', answeredOn: '2026-03-12' }],
    ['returned', { returnedOn: '2026-03-05' }],
    ['lost', { ...posted, lostOn: '2026-03-20' }],
  ] as const)('is %s by what was said of it: %j', (state, said) => {
    expect(kitStateOf(kit(said))).toBe(state)
  })
})

describe('what is chased of a kit', () => {
  const on = (today: string, said: Partial<KitFacts>, more: Partial<KitLimits> = {}) =>
    chaseOfKit(kit(said), { ...limits, ...more }, today)

  it.each([
    ['no dates, on the day the company asks', {}, '2026-03-10', 'no-dates', '2026-03-10'],
    ['an end, on the last day it may stay', { exposedFrom: '2026-03-02' }, '2026-03-09', 'too-long', '2026-03-09'],
    ['the post, from the day after its end', exposed, '2026-03-07', 'not-posted', '2026-03-14'],
    ['an answer, when it has been awaited long enough', posted, '2026-03-28', 'no-answer', '2026-03-28'],
    [
      'its lot, from the day after that was usable',
      { lotExpiresOn: '2026-03-04' },
      '2026-03-05',
      'lot-expired',
      '2026-03-04',
    ],
  ] as const)('is %s, and not a day before', (_, said, today, kind, dueOn) => {
    const dayBefore = new Date(Date.parse(today) - 86_400_000).toISOString().slice(0, 10)
    expect(on(dayBefore, said)).toBeNull()
    expect(on(today, said)).toMatchObject({ kind, dueOn })
  })

  it('is told with the days that led to it and with what to do', () => {
    expect(on('2026-03-10', {})).toMatchObject({
      reason: 'left 9 days ago, no dates; we ask after 9 days',
      act: 'call-home',
    })
    expect(on('2026-03-29', posted)).toMatchObject({
      reason: 'posted 22 days ago, no answer; we expect it within 21 days',
      act: 'call-laboratory',
    })
  })

  it('is soon too old for the laboratory three days before, and too old the day after', () => {
    const reason = (today: string) => on(today, exposed)?.reason
    expect(reason('2026-03-10')).not.toContain('soon')
    expect(reason('2026-03-11')).toContain('soon too old for the laboratory')
    expect(reason('2026-03-14')).toContain('soon too old for the laboratory')
    expect(reason('2026-03-15')).toContain('; too old for the laboratory since 2026-03-14')
  })

  it('is no post for a kind that no laboratory reads', () => {
    expect(on('2026-05-01', exposed, { laboratoryWithinDays: null })).toBeNull()
  })

  it.each([{ returnedOn: '2026-03-05' }, { lostOn: '2026-03-05' }, { ...posted, answeredOn: '2026-03-12' }])(
    'is nothing once it is settled: %j',
    said => {
      expect(on('2027-01-01', said)).toBeNull()
    },
  )

  it('comes in the order of the days it should have been done by', () => {
    const chases = [on('2026-04-30', posted), on('2026-04-30', {}), on('2026-04-30', exposed)] as Chase[]
    expect(chases.sort(byUrgency).map(chase => chase.kind)).toEqual(['no-dates', 'not-posted', 'no-answer'])
  })
})

describe('a kit that never comes back', () => {
  const gone = (today: string, said: Partial<KitFacts> = {}) => neverReturned(kit(said), limits, today)

  it('is one that was lost', () => {
    expect(gone('2026-03-02', { lostOn: '2026-03-02' })).toBe(true)
  })

  it.each([
    // 9 + 7 + 8 days after 1 March, 7 + 8 after 2 March, 8 after 6 March.
    ['left', '2026-03-25', {}],
    ['in place', '2026-03-17', { exposedFrom: '2026-03-02' }],
    ['to be posted', '2026-03-14', exposed],
  ] as const)('is one that is %s when all that was before it has run out, and not on that day: %s', (_, last, said) => {
    const dayAfter = new Date(Date.parse(last) + 86_400_000).toISOString().slice(0, 10)
    expect(gone(last, said)).toBe(false)
    expect(gone(dayAfter, said)).toBe(true)
  })

  it('is not one at the laboratory, or back', () => {
    expect(gone('2027-03-26', posted)).toBe(false)
    expect(gone('2027-03-26', { returnedOn: '2026-03-05' })).toBe(false)
  })
})
