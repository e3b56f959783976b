import { gzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { PLAIN_DIALECT, writeMonitorFile } from '../../seed/monitor-files.ts'
import { proposeReading } from '../../src/intake/monitor-file/propose-reading.ts'
import { readWith } from '../../src/intake/monitor-file/read-with.ts'
import type { Reading } from '../../src/intake/monitor-file/reading.ts'
import { HOUR, hourly, SET_AT } from '../support/test-facts.ts'

const zone = 'America/Chicago'
const propose = (text: string | Uint8Array, told: Partial<Reading> = {}) =>
  proposeReading(typeof text === 'string' ? Buffer.from(text) : text, { zone, told })

/** Reads a file whose proposal needs no question. */
function read(text: string, told: Partial<Reading> = {}) {
  const proposed = propose(text, told)
  if (!proposed.ok) throw new Error(JSON.stringify(proposed.faults))
  return readWith(Buffer.from(text), proposed.reading)
}

const rows = (...values: readonly string[]) =>
  values.map((value, i) => `2025-11-03 ${String(10 + i).padStart(2, '0')}:00,${value}`).join('\n')
const HEADER = 'Date/Time,Radon (pCi/L)\n'

const faultsOf = (outcome: ReturnType<typeof read>) =>
  outcome.ok ? [] : outcome.faults.map(({ code, line }) => [code, line])

describe('what is no text is refused and named', () => {
  it.each([
    ['an empty file', Buffer.alloc(0), 'empty'],
    ['only blanks', Buffer.from(' \n \n'), 'empty'],
    ['a workbook renamed', Buffer.from('504b030414000600', 'hex'), 'not-text'],
    ['a gzip renamed', gzipSync('Date,Radon'), 'not-text'],
    ['a NUL byte', Buffer.from('Date,Radon\n2025-11-03 10:00,\0'), 'not-text'],
    ['over 20 MB', Buffer.alloc(20 * 1024 * 1024 + 1, 65), 'too-large'],
    ['one line of 11 MB', Buffer.alloc(11 * 1024 * 1024, 65), 'too-large'],
    ['only a header', Buffer.from(HEADER), 'no-readings'],
    ['prose', Buffer.from('Dear owner,\nall is well; see below.\n'), 'no-readings'],
  ])('%s', (_what, bytes, code) => {
    const proposed = propose(bytes)
    expect(proposed.ok).toBe(false)
    if (!proposed.ok) expect(proposed.faults[0]).toMatchObject({ code, remedy: expect.stringMatching(/\w/) })
  })
})

describe('what cannot be read is refused with its line, and nothing is read', () => {
  it('two different values for one instant', () => {
    const text = `${HEADER}${rows('3.1', '3.2', '3.3')}\n2025-11-03 11:00,9.9\n`
    expect(read(text)).toMatchObject({
      ok: false,
      faults: [{ code: 'two-values', line: 5, problem: expect.stringContaining('Lines 3 and 5') }],
    })
  })

  it('the same row twice says the same and counts once', () => {
    const outcome = read(`${HEADER}${rows('3.1', '3.2', '3.3')}\n2025-11-03 11:00,3.20\n`)
    expect(outcome).toMatchObject({ ok: true, counts: { repeated: 1 }, series: { values: [310, 320, 330] } })
  })

  it('an unreadable cell, each with line and content', () => {
    const outcome = read(`${HEADER}${rows('3.1', 'abc', '3.3', '<0.4', '-2')}`)
    expect(faultsOf(outcome)).toEqual([
      ['number', 3],
      ['number', 5],
      ['number', 6],
    ])
  })

  it('a bad last row', () => {
    expect(faultsOf(read(`${HEADER}${rows('3.1', '3.2')}\n2025-11-03 25:00,3.3`))).toEqual([['stamp', 4]])
    expect(faultsOf(read(`${HEADER}${rows('3.1', '3.2')}\n2025-13-03 12:00,3.3`))).toEqual([['stamp', 4]])
  })

  it('a quotation mark never closed', () => {
    expect(faultsOf(read(`${HEADER}${rows('3.1', '"3.2')}\n${rows('3.1')}`))).toEqual([['quote', 3]])
  })

  it('a decimal comma in a comma-separated file', () => {
    const proposed = propose(`${HEADER}${rows('3,1', '3,2', '3,3')}`, {
      columns: [
        { index: 0, role: 'date-time', name: '' },
        { index: 1, role: 'value', name: '' },
      ],
    })
    if (!proposed.ok) throw new Error('no proposal')
    expect(proposed.faults.map(({ code }) => code)).toEqual(['ragged', 'ragged', 'ragged'])
  })

  it('another unit in the middle', () => {
    expect(
      faultsOf(read(`Date/Time,Radon\n${rows('3.1 pCi/L', '3.2 pCi/L', '118 Bq/m3')}`, { unit: 'pCi/L' })),
    ).toEqual([['unit', 4]])
  })

  it('a date a century from the rest', () => {
    expect(faultsOf(read(`${HEADER}${rows('3.1', '3.2', '3.3')}\n2199-11-03 14:00,3.3`))).toEqual([
      ['too-far-apart', 5],
    ])
  })

  it('readings closer than a minute, or further than a day', () => {
    expect(faultsOf(read(`${HEADER}2025-11-03 10:00:00,3\n2025-11-03 10:00:30,3\n2025-11-03 10:01:00,3`))[0]![0]).toBe(
      'interval',
    )
    expect(faultsOf(read(`${HEADER}2025-11-03 10:00,3\n2025-11-13 10:00,3\n2025-11-23 10:00,3`))[0]![0]).toBe(
      'interval',
    )
  })

  it('a systematic fault lists a hundred and counts all', () => {
    const text =
      HEADER +
      Array.from(
        { length: 500 },
        (_, i) => `2025-11-${String(3 + Math.floor(i / 24)).padStart(2, '0')} ${i % 24}:00,${i === 0 ? '3' : 'x'}`,
      ).join('\n')
    const outcome = read(text)
    if (outcome.ok) throw new Error('was read')
    expect([outcome.faults.length, outcome.faultCount]).toEqual([100, 499])
  })
})

describe('what cannot be known is asked', () => {
  const asked = (text: string) => {
    const proposed = propose(text)
    return proposed.ok ? proposed.questions.map(({ part }) => part) : proposed.faults
  }

  it('a unit that no line names, and one that is not read here', () => {
    expect(asked(`Date/Time,Radon\n${rows('3.1', '3.2')}`)).toEqual(['unit'])
    expect(asked(`Date/Time,Radon (kBq/m3)\n${rows('3.1', '3.2')}`)).toEqual(['unit'])
  })

  it('three digits after every comma', () => {
    expect(asked(`Date/Time;Radon (Bq/m3)\n${rows('1,234', '1,250').replaceAll(':00,', ':00;')}`)).toEqual([
      'decimalMark',
    ])
    expect(asked(`Date/Time;Radon (Bq/m3)\n${rows('1,234', '0,250').replaceAll(':00,', ':00;')}`)).toEqual([])
  })

  it('nothing when day and month are one number', () => {
    expect(asked('Date/Time,Radon (pCi/L)\n11/11/2025 10:00,3\n11/11/2025 11:00,3')).toEqual([])
  })

  it('a file with an open question is not read', () => {
    const text = `Date/Time,Radon\n${rows('3.1', '3.2')}`
    expect(read(text)).toMatchObject({ ok: false, faults: [{ code: 'unanswered' }] })
  })
})

describe('numbers as people write them', () => {
  it.each([
    ['1.234,5', ',', 12345],
    ['1,234.5', '.', 12345],
    ['1 234,5', ',', 12345],
    ['1 234,5', ',', 12345],
    ['12,5', ',', 125],
  ])('%s with decimal %s', (written, _mark, tenths) => {
    const outcome = read(`Date/Time\tRadon (Bq/m3)\n2025-11-03 10:00\t${written}\n2025-11-03 11:00\t${written}`)
    expect(outcome).toMatchObject({ ok: true, series: { values: [tenths, tenths], scale: 1 } })
  })

  it('keeps of a binary fraction printed in full what an integer holds', () => {
    const outcome = read(`${HEADER}${rows('3.4000000953674316', '12.5')}`)
    expect(outcome).toMatchObject({ ok: true, series: { scale: 8, values: [340000010, 1250000000] } })
  })

  it.each(['', '--', 'N/A', 'NaN', '***'])('takes “%s” for a missing reading', cell => {
    expect(read(`${HEADER}${rows('3.1', cell, '3.3')}`)).toMatchObject({
      ok: true,
      counts: { missing: 1 },
      series: { values: [31, null, 33] },
    })
  })

  it('reads the delimiter that the file declares', () => {
    expect(read(`sep=;\nDate;Time;Radon Bq/m3\n2025-11-03;10:00;12,5\n2025-11-03;11:00;13,5`)).toMatchObject({
      ok: true,
      series: { values: [125, 135] },
    })
  })
})

describe('a clock that changes, or does not', () => {
  const autumn = (clock: Parameters<typeof writeMonitorFile>[1]['clock'], over = {}) =>
    writeMonitorFile(
      hourly(48, i => 20 + (i % 9), { startAt: Date.UTC(2025, 10, 1, 16) }),
      { ...PLAIN_DIALECT, date: 'day-month-name', clock, ...over },
    )
  const spring = (clock: Parameters<typeof writeMonitorFile>[1]['clock']) =>
    writeMonitorFile(
      hourly(48, i => 20 + (i % 9), { startAt: Date.UTC(2026, 2, 7, 16) }),
      { ...PLAIN_DIALECT, clock },
    )

  it('that falls back gives the repeated hour twice, without asking', () => {
    const proposed = propose(autumn({ zone }))
    expect(proposed).toMatchObject({
      ok: true,
      questions: [],
      record: { series: { startAt: Date.UTC(2025, 10, 1, 16), offsetsS: [] }, counts: { missing: 0 } },
    })
  })

  it('that springs forward leaves no gap', () => {
    expect(propose(spring({ zone }))).toMatchObject({ ok: true, questions: [], record: { counts: { missing: 0 } } })
  })

  it.each([
    ['autumn', autumn({ offsetMinutes: -300 }), [-300, -360]],
    ['spring', spring({ offsetMinutes: -360 }), [-360, -300]],
  ] as const)(
    'that was never changed in %s is asked for, with both times to choose from',
    (_season, bytes, offsets) => {
      const proposed = propose(bytes)
      if (!proposed.ok) throw new Error('no proposal')
      expect(proposed.questions.map(({ part }) => part)).toEqual(['clock'])
      expect(proposed.questions[0]!.choices.slice(0, 2).map(({ value }) => value)).toEqual(
        offsets.map(offsetMinutes => ({ kind: 'fixed', offsetMinutes })),
      )
      const answered = readWith(bytes, { ...proposed.reading, clock: { kind: 'fixed', offsetMinutes: offsets[0] } })
      expect(answered).toMatchObject({ ok: true, counts: { missing: 0 } })
    },
  )

  it('told in UTC is not asked for', () => {
    expect(propose(autumn({ offsetMinutes: 0 }, { preamble: ['All times UTC'] }))).toMatchObject({
      ok: true,
      questions: [],
      reading: { clock: { kind: 'fixed', offsetMinutes: 0 } },
    })
  })

  it('with the repeated hour in shuffled rows is asked for and can be left out', () => {
    const bytes = autumn({ zone }, { order: 'shuffled' })
    const proposed = propose(bytes)
    if (!proposed.ok) throw new Error('no proposal')
    expect(proposed.questions.map(({ part }) => part)).toEqual(['repeatedHour'])
    expect(readWith(bytes, proposed.reading)).toMatchObject({ ok: false, faults: [{ code: 'unanswered' }] })
    expect(readWith(bytes, { ...proposed.reading, repeatedHour: 'leave-out' })).toMatchObject({
      ok: true,
      counts: { leftOut: 2, missing: 2 },
    })
  })
})

describe('the sentence', () => {
  it('says what was read, every part of it changeable', () => {
    const bytes = writeMonitorFile(hourly(96), { ...PLAIN_DIALECT, date: 'day-month-name', clock: { zone } })
    const proposed = propose(bytes)
    if (!proposed.ok) throw new Error('no proposal')
    const said = proposed.sentence.map(({ text }) => text).join('')
    expect(said).toMatch(
      /^I read this as hourly radon \(Radon \(pCi\/L\)\) in pCi\/L, each stamp the end of its hour, clock in Chicago time with daylight saving, 3 to 7 November 2025\./,
    )
    const changeable = proposed.sentence.flatMap(({ part }) => part ?? [])
    expect(changeable).toEqual([
      'columns',
      'unit',
      'stamp',
      'clock',
      'delimiter',
      'decimalMark',
      'dateOrder',
      'hours',
      'deviceCorrectedFirstHours',
    ])
  })

  it('follows what a person tells', () => {
    const bytes = writeMonitorFile(hourly(48), PLAIN_DIALECT)
    const proposed = propose(bytes, { stamp: 'start', unit: 'Bq/m3' })
    expect(proposed).toMatchObject({
      ok: true,
      reading: { stamp: 'start', unit: 'Bq/m3' },
      how: { stamp: { by: 'told' } },
      record: { series: { unit: 'Bq/m3' } },
    })
  })
})

describe('side columns', () => {
  it('are kept along the record', () => {
    const series = hourly(30, i => (i === 3 ? null : 20 + i))
    const outcome = read(
      Buffer.from(writeMonitorFile(series, { ...PLAIN_DIALECT, side: true, clock: { zone } })).toString(),
    )
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults))
    expect(outcome.side.map(({ role, scale, values }) => [role, scale, values.length, values[1], values[7]])).toEqual([
      ['temperature', 1, 30, 681, 687],
      ['humidity', 0, 30, 36, 42],
      ['pressure', 2, 30, 98701, 98707],
      ['movement', 0, 30, 'no', 'yes'],
    ])
    expect(outcome.series.startAt).toBe(SET_AT)
    expect(outcome.series.intervalS * 1000).toBe(HOUR)
  })
})
