import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { exact } from '../../src/domain/quantity/exact.ts'
import { exactText } from '../../src/domain/quantity/print-exact.ts'
import { lengthText, reachesHours, slotEnd, slotStart } from '../../src/domain/series/slots.ts'
import { usableWindowOf, type WindowLimits } from '../../src/domain/series/usable-window.ts'
import { windowMean } from '../../src/domain/series/window-mean.ts'
import { HOUR, hourly, SET_AT } from '../support/test-facts.ts'

const all: WindowLimits = { placedFrom: null, placedTo: null, droppings: [], contiguous: true }
const hours = (window: { from: number | null; to: number | null }) => (window.to! - window.from!) / HOUR
const meanOf = (series: Parameters<typeof usableWindowOf>[0], limits = all) => {
  const mean = windowMean(series, usableWindowOf(series, limits).runs)
  return mean && exactText(mean.mean)
}

describe('the usable window of a record', () => {
  it('drops the first hours for equilibrium and says so', () => {
    const window = usableWindowOf(hourly(48), { ...all, droppings: [{ why: 'equilibrium', until: SET_AT + 4 * HOUR }] })
    expect(hours(window)).toBe(44)
    expect(window.leftOut).toEqual([{ from: SET_AT, to: SET_AT + 4 * HOUR, why: 'equilibrium' }])
  })

  it('names each dropping for the hours it alone takes', () => {
    const droppings = [
      { why: 'fan-start', until: SET_AT + 20 * HOUR },
      { why: 'equilibrium', until: SET_AT + 4 * HOUR },
      { why: 'closed-building', until: SET_AT + 9 * HOUR },
    ] as const
    const { leftOut } = usableWindowOf(hourly(72), { ...all, droppings })
    expect(leftOut.map(({ from, to, why }) => [why, (from - SET_AT) / HOUR, (to - SET_AT) / HOUR])).toEqual([
      ['equilibrium', 0, 4],
      ['closed-building', 4, 9],
      ['fan-start', 9, 20],
    ])
  })

  it('keeps the longest unbroken run and lists the gap and the rest', () => {
    const window = usableWindowOf(
      hourly(60, i => (i === 10 ? null : 30)),
      all,
    )
    expect(hours(window)).toBe(49)
    expect(window.leftOut.map(({ why }) => why)).toEqual(['outside-longest-run', 'gap'])
    expect(window.gaps).toEqual([{ from: SET_AT + 10 * HOUR, to: SET_AT + 11 * HOUR }])
  })

  it('keeps the earlier of two equal runs', () => {
    expect(
      usableWindowOf(
        hourly(21, i => (i === 10 ? null : 30)),
        all,
      ).from,
    ).toBe(SET_AT)
  })

  it('keeps every run of a long test', () => {
    const window = usableWindowOf(
      hourly(60, i => (i === 10 ? null : 30)),
      { ...all, contiguous: false },
    )
    expect(window.runs.map(run => (run.to - run.from) / HOUR)).toEqual([10, 49])
  })

  it('leaves out readings wholly before the set or after the pick-up, and keeps those on the edge', () => {
    const window = usableWindowOf(hourly(52), { ...all, placedFrom: SET_AT + 1.5 * HOUR, placedTo: SET_AT + 50 * HOUR })
    expect(hours(window)).toBe(49)
    expect(window.leftOut.map(({ why }) => why)).toEqual(['not-in-place', 'not-in-place'])
  })

  it('is empty for a record of gaps', () => {
    const window = usableWindowOf(
      hourly(5, () => null),
      all,
    )
    expect(window.runs).toEqual([])
    expect(window.gaps).toEqual([{ from: SET_AT, to: SET_AT + 5 * HOUR }])
  })

  it('takes seconds of drift for no gap', () => {
    const series = hourly(48, () => 30, { offsetsS: Array.from({ length: 48 }, (_, i) => i * 2) })
    const window = usableWindowOf(series, all)
    expect(window.gaps).toEqual([])
    expect(slotEnd(series, 3)).toBe(slotStart(series, 4))
  })

  it('sees a break where the clock jumps by more than half an interval', () => {
    const series = hourly(10, () => 30, { offsetsS: Array.from({ length: 10 }, (_, i) => (i < 5 ? 0 : 1900)) })
    expect(usableWindowOf(series, all).gaps).toHaveLength(1)
  })
})

describe('the mean of a record', () => {
  it('is exact where binary floats are not: 3.8 and 4.1 make 3.95', () => {
    expect(meanOf(hourly(2, i => (i === 0 ? 38 : 41)))).toBe('3.95')
  })

  it('is a fraction where no decimal ends', () => {
    expect(meanOf(hourly(3, i => [10, 10, 11][i]!))).toBe('31/30')
  })

  it('weighs each reading by its time', () => {
    const series = hourly(3, i => [10, 40, 10][i]!, { offsetsS: [0, 0, 1800] })
    // 1 h at 1.0, 1.5 h at 4.0, 1 h at 1.0
    expect(meanOf(series)).toBe('16/7')
  })

  it('is none without a reading', () => {
    expect(meanOf(hourly(4, () => null))).toBeNull()
  })

  it('stays exact over a million large readings', () => {
    const series = hourly(1_000_000, i => 2_000_000_000 + (i % 2), { scale: 3 })
    expect(meanOf(series)).toBe('2000000.0005')
  })

  it('lies between the least and the greatest reading and ignores their order', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 100_000 }), { minLength: 1, maxLength: 60 }), values => {
        const mean = exact(meanOf(hourly(values.length, i => values[i]!))!)
        const turned = exact(meanOf(hourly(values.length, i => values.at(-1 - i)!))!)
        expect(mean.compare(turned)).toBe(0)
        expect(mean.mul(10).compare(Math.min(...values))).toBeGreaterThanOrEqual(0)
        expect(mean.mul(10).compare(Math.max(...values))).toBeLessThanOrEqual(0)
      }),
    )
  })
})

describe('lengths', () => {
  it('are judged in whole minutes', () => {
    expect(reachesHours(44 * HOUR, 44)).toBe(true)
    expect(reachesHours(44 * HOUR - 20_000, 44)).toBe(true)
    expect(reachesHours(44 * HOUR - 60_000, 44)).toBe(false)
  })

  it('read as people say them', () => {
    expect([44 * HOUR, 44 * HOUR - 60_000, 91 * 24 * HOUR, 0].map(lengthText)).toEqual([
      '44 h',
      '43 h 59 min',
      '91 days',
      '0 h',
    ])
  })
})
