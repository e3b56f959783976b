import fc from 'fast-check'
import { DateTime } from 'luxon'
import { describe, expect, it } from 'vitest'
import { edtfDays } from '../../src/domain/calendar/edtf.ts'
import { startOfDay } from '../../src/domain/calendar/local-day.ts'
import { dayOfNumber, readDateCell } from '../../src/intake/homes-table/rough-date.ts'

const today = '2026-11-27'
const read = (cell: string, order: 'mdy' | 'dmy' = 'mdy') => {
  const date = readDateCell(cell, order, { today })
  return 'edtf' in date ? date.edtf : date.kind
}

describe('a date as people write it', () => {
  it.each([
    ['4/12/2014', '2014-04-12'],
    ['4/12/98', '1998-04-12'],
    ['4/12/14 3:30 PM', '2014-04-12'],
    ['12 April 2014', '2014-04-12'],
    ['April 12, 2014', '2014-04-12'],
    ['2014-04-12', '2014-04-12'],
    ['41741', '2014-04-12'],
    ['41741.0', '2014-04-12'],
    ['4/12/2014?', '2014-04-12?'],
    ['03/2014', '2014-03'],
    ['3-2014', '2014-03'],
    ['2014-03', '2014-03'],
    ['March 2014', '2014-03'],
    ["Mar '14", '2014-03'],
    ['spring 2011', '2011-21'],
    ['Spring of 2011', '2011-21'],
    ["fall '09", '2009-23'],
    ['summer 2009?', '2009-22?'],
    ['winter 2010', '2009-12/2011-02'],
    ['winter 2010/11', '2010-12/2011-02'],
    ['Q2 2014', '2014-04/2014-06'],
    ['2009', '2009'],
    ['2009?', '2009?'],
    ['maybe 2009', '2009?'],
    ['2009 or so', '2009?'],
    ['ca 2010', '2010~'],
    ['c. 2010', '2010~'],
    ['~2010', '2010~'],
    ['about 2010?', '2010%'],
    ['2010-2012', '2010/2012'],
    ['2010 or 2011', '2010/2011'],
    ['2010-12', '2010-12'],
    ['before 2005', '../2004'],
    ['pre-2005', '../2004'],
    ['after 2019', '2020/2026-11-27'],
    ['since 2019', '2019/2026-11-27'],
    ["the '90s", '199X'],
    ['late 1990s', '199X'],
  ])('%s is %s', (cell, edtf) => expect(read(cell)).toBe(edtf))

  it.each(['', '?', 'unknown', 'n/a', '-', 'TBD'])('“%s” is not known', cell => expect(read(cell)).toBe('unknown'))

  it.each(['prior owner', '13/13/2014', '2/30/2014', 'see folder', '12', 'after 2030'])('“%s” is not read', cell =>
    expect(read(cell)).toBe('unreadable'),
  )

  it('of unsure order is read in the order told', () => {
    expect(read('4/12/2014', 'dmy')).toBe('2014-12-04')
  })

  it('leaves open what came before everything', () => {
    expect(edtfDays('../2004')).toEqual({ earliest: '0001-01-01', latest: '2004-12-31' })
    expect(edtfDays('2004/..')).toBeNull()
    expect(startOfDay('0001-01-01', 'America/Chicago')).toBeLessThan(Date.UTC(1000, 0))
  })

  it('is the day a calendar library reads, however it is written', () => {
    const days = fc.integer({ min: Date.UTC(1950, 0) / 86_400_000, max: Date.UTC(2026, 10, 27) / 86_400_000 })
    const forms = ['M/d/yyyy', 'MM/dd/yyyy', 'yyyy-MM-dd', 'd MMM yyyy', 'MMMM d, yyyy', 'dd-MMM-yyyy']
    fc.assert(
      fc.property(days, fc.constantFrom(...forms), (n, form) => {
        const day = DateTime.fromMillis(n * 86_400_000, { zone: 'utc' })
        expect(read(day.setLocale('en-US').toFormat(form))).toBe(day.toISODate())
      }),
    )
  })

  it('counted by a spreadsheet is the day the count means', () => {
    const first = DateTime.fromISO('1899-12-30', { zone: 'utc' })
    fc.assert(
      fc.property(fc.integer({ min: 7_306, max: 73_050 }), count => {
        expect(dayOfNumber(count)).toBe(first.plus({ days: count }).toISODate())
      }),
    )
  })

  it('always means days that a rough date can mean', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 20 }), cell => {
        const date = readDateCell(cell, 'mdy', { today })
        if ('edtf' in date) expect(edtfDays(date.edtf)).not.toBeNull()
      }),
    )
  })
})
