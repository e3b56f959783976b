import { describe, expect, it } from 'vitest'
import { readTypedDate } from '../../src/web/read-typed-date.ts'
import { readTypedMoment } from '../../src/web/read-typed-moment.ts'
import { readTypedNumber, readTypedTime } from '../../src/web/read-typed-number.ts'

const zone = 'America/Chicago'
// 20 March 2026, 23:30 in Chicago: already the 21st in UTC.
const now = Date.parse('2026-03-21T04:30:00Z')
const dayOf = (typed: string, order?: 'day-first') => {
  const read = readTypedDate(typed, { now, zone, ...(order ? { order } : {}) })
  return read.ok ? read.day : null
}

describe('a day typed as people write it', () => {
  it.each([
    ['2026-05-12', '2026-05-12'],
    [' 12 May 2026 ', '2026-05-12'],
    ['Tue 12 May 2026', '2026-05-12'],
    ['May 12, 2026', '2026-05-12'],
    ['12th May', '2026-05-12'],
    ['4 sept 25', '2025-09-04'],
    ['5/12/2026', '2026-05-12'],
    ['5/12/26', '2026-05-12'],
    ['13/5/2026', '2026-05-13'],
    ['12.5.2026', '2026-05-12'],
    ['today', '2026-03-20'],
    ['Yesterday', '2026-03-19'],
    ['in 3 weeks', '2026-04-10'],
    ['3 days ago', '2026-03-17'],
    ['29 Feb 2024', '2024-02-29'],
  ])('“%s” is %s', (typed, day) => {
    expect(dayOf(typed)).toBe(day)
  })

  it('with the day first where that is the custom', () => {
    expect(dayOf('5/12/2026', 'day-first')).toBe('2026-12-05')
    expect(dayOf('5/12/2026')).toBe('2026-05-12')
  })

  it('may be a day of the week: the last one where it says so, the coming one where days lie ahead', () => {
    // 20 March 2026 is a Friday.
    const ahead = (typed: string) => readTypedDate(typed, { now, zone, ahead: true })
    expect(dayOf('last Friday')).toBe('2026-03-13')
    expect(dayOf('last tues')).toBe('2026-03-17')
    expect(dayOf('Friday')).toBeNull()
    expect(ahead('Friday')).toEqual({ ok: true, day: '2026-03-27' })
    expect(ahead('sat.')).toEqual({ ok: true, day: '2026-03-21' })
    expect(ahead('last Sunday')).toEqual({ ok: true, day: '2026-03-15' })
  })

  it('without a year is the nearest one', () => {
    expect(dayOf('1 Jan')).toBe('2026-01-01')
    expect(dayOf('24 Dec')).toBe('2025-12-24')
  })

  it.each(['', 'soon', '31 April 2026', '29 Feb 2025', '13/13/2026', '2026-02-30', 'May 2026', '0/5/2026'])(
    '“%s” is none, and the fault says how to write one',
    typed => {
      const read = readTypedDate(typed, { now, zone })
      expect(read).toEqual({ ok: false, fault: expect.stringContaining('write it like 12 May 2026') })
    },
  )
})

describe('a day typed without its time', () => {
  // 08:05 and 15:40 on 20 March 2026 in Chicago.
  const morning = Date.parse('2026-03-20T13:05:00Z')
  const afternoon = Date.parse('2026-03-20T20:40:00Z')
  const noonOf = (day: string) => Date.parse(`${day}T17:00:00Z`)
  const momentOf = (date: string, read: { now: number; ahead?: true; time?: string }) => {
    const moment = readTypedMoment(date, read.time ?? '', { zone, ...read })
    return moment.ok ? moment.at : moment.fault
  }

  it('that is today is never later than now, and noon once noon is past', () => {
    expect(momentOf('today', { now: morning })).toBe(morning)
    expect(momentOf('2026-03-20', { now: afternoon })).toBe(noonOf('2026-03-20'))
  })

  it('that is another day is its noon, also where that lies ahead', () => {
    expect(momentOf('yesterday', { now: morning })).toBe(noonOf('2026-03-19'))
    expect(momentOf('tomorrow', { now: morning })).toBe(noonOf('2026-03-21'))
  })

  it('stays noon where days to come are asked for, and a time that was typed is kept', () => {
    expect(momentOf('today', { now: morning, ahead: true })).toBe(noonOf('2026-03-20'))
    expect(momentOf('today', { now: morning, time: '9 am' })).toBe(Date.parse('2026-03-20T14:00:00Z'))
  })
})

describe('a number typed with comma or point', () => {
  it.each([
    ['3.8', '3.8'],
    ['3,80', '3.80'],
    ['  141 ', '141'],
    ['.5', '0.5'],
    ['-1,4', '-1.4'],
    ['−1.4', '-1.4'],
    ['1 200', '1200'],
    ['007', '7'],
    ['0,125', '0.125'],
  ])('“%s” is %s', (typed, value) => {
    expect(readTypedNumber(typed)).toEqual({ ok: true, value })
  })

  it('that could be two numbers is refused with both', () => {
    expect(readTypedNumber('1,200')).toEqual({ ok: false, fault: expect.stringMatching(/1\.200 or 1200/) })
  })

  it.each(['', '4,1x', '1.2.3', '1e5', 'NaN', '٣'])('“%s” is none', typed => {
    expect(readTypedNumber(typed).ok).toBe(false)
  })
})

it.each([
  ['14:30', '14:30'],
  ['2:30 pm', '14:30'],
  ['2.30pm', '14:30'],
  ['9am', '09:00'],
  ['12 am', '00:00'],
  ['12 p.m.', '12:00'],
  ['23', '23:00'],
  ['24:00', null],
  ['13 pm', null],
  ['9:60', null],
])('the time “%s” is %s', (typed, time) => {
  expect(readTypedTime(typed)).toBe(time)
})
