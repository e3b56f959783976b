import { describe, expect, it } from 'vitest'
import { edtfDays } from '../../src/domain/calendar/edtf.ts'
import { isMonth, lastDayOf, monthAfter, monthOf, monthWords } from '../../src/domain/calendar/month.ts'
import { lastDayForAge, reachOf, roughlyAged } from '../../src/domain/month/fan-reaches-age.ts'

describe('a month', () => {
  it('has its own last day, and others before and after it', () => {
    expect(['2026-02', '2028-02', '2026-11'].map(lastDayOf)).toEqual(['2026-02-28', '2028-02-29', '2026-11-30'])
    expect([monthAfter('2026-11', 2), monthAfter('2026-01', -1), monthOf('2026-11-30')]).toEqual([
      '2027-01',
      '2025-12',
      '2026-11',
    ])
    expect(monthWords('2026-11')).toBe('Nov 2026')
    expect(['2026-11', '2026-13', '2026-1', 'November'].map(isMonth)).toEqual([true, false, false, false])
  })
})

describe('a fan reaches an age of ten years by the end of a month', () => {
  const day = (on: string) => ({ earliest: on, latest: on })
  it.each([
    ['2016-11-30', 'reached'],
    ['2016-12-01', 'not-yet'],
    ['2003-01-01', 'reached'],
  ])('when it came in on %s: %s in November 2026', (on, reach) => {
    expect(reachOf(day(on), 10, '2026-11')).toBe(reach)
  })

  it('that was put in on a 29 February, in the February ten years on', () => {
    expect(lastDayForAge(10, '2026-02')).toBe('2016-02-29')
    expect(reachOf(day('2016-02-29'), 10, '2026-02')).toBe('reached')
  })

  it.each([
    ['2015/2016', 'reached', '2026-12'],
    ['2015/2017', 'may-be', '2026-12'],
    ['2016', 'may-be', '2026-11'],
    ['2016', 'reached', '2026-12'],
    ['2016-21', 'not-yet', '2026-02'],
    ['2016-21', 'may-be', '2026-03'],
    ['2017?', 'may-be', '2026-11'],
    ['2018', 'not-yet', '2026-11'],
  ])('perhaps, when its date is as rough as %s: %s in %s', (rough, reach, month) => {
    expect(reachOf(edtfDays(rough), 10, month)).toBe(reach)
  })

  it('nobody can tell when its date is not known or not readable', () => {
    expect(reachOf(null, 10, '2026-11')).toBe('unknown')
    expect(roughlyAged(['2009', '2016', '2020', 'long ago'], 10, '2026-11')).toEqual({
      reached: ['2009'],
      maybe: ['2016'],
      unknown: ['long ago'],
    })
  })
})
