import { describe, expect, it } from 'vitest'
import { RecordChart } from '../../src/web/chart/record-chart.tsx'
import { stepPath } from '../../src/web/chart/record-plot.tsx'
import { readingsOf } from '../../src/web/chart/record-readings.ts'
import { plot, scaleOf } from '../../src/web/chart/record-scale.ts'
import { record, recordStart, series, zone } from './results.ts'

const readings = readingsOf(series)
const end = recordStart + 68 * 3_600_000
const scale = scaleOf(recordStart, end, 5.3, zone)
const html = String(RecordChart({ facts: record }))

/** The horizontal strokes of the line: how high, and from where to where. */
function strokes(path: string) {
  let [x, y] = [0, 0]
  return [...path.matchAll(/([MHV])([\d.]+)(?: ([\d.]+))?/g)].flatMap(([, command, first, second]) => {
    if (command === 'V') y = Number(first)
    if (command === 'M') [x, y] = [Number(first), Number(second)]
    if (command !== 'H') return []
    const from = x
    x = Number(first)
    return x - from > 0.05 ? [{ from, y }] : []
  })
}

describe('a record drawn', () => {
  it('is as high at every reading as the reading, and breaks where one is missing', () => {
    const measured = readings.filter(reading => reading.value !== null)
    const drawn = strokes(stepPath(readings, scale))
    expect(drawn).toHaveLength(measured.length)
    drawn.forEach((stroke, index) => {
      expect(stroke.y).toBeCloseTo(scale.y(measured[index]!.value!), 0)
      expect(stroke.from).toBeCloseTo(scale.x(measured[index]!.from), 0)
    })
    expect(stepPath(readings, scale).match(/M/g)).toHaveLength(2)
  })

  it('has an axis that starts at nothing and a tick at each midnight of the home', () => {
    expect(scale.y(0)).toBe(plot.bottom)
    expect(scale.valueTicks[0]).toBe(0)
    expect(scale.dayTicks.map(tick => tick.day)).toEqual(['2026-03-03', '2026-03-04', '2026-03-05'])
    expect(scale.dayTicks[0]!.at).toBe(Date.parse('2026-03-03T06:00:00Z'))
  })

  it('states its finding in words: mean, highest with its hour, level, what is left out', () => {
    const finding = /<desc[^>]*>([^<]*)/.exec(html)?.[1] ?? ''
    expect(finding).toContain('Mean of the hours used 3.6 pCi/L')
    expect(finding).toMatch(/highest 5\.\d pCi\/L on Tue 3 March 2026, \d\d:00/)
    expect(finding).toContain('action level 4.0 pCi/L')
    expect(finding).toContain('2 parts left out')
  })

  it('holds every reading in its table, each told whether it is used', () => {
    expect(html.match(/<th scope="row"/g)).toHaveLength(68)
    expect(html.match(/left out: first hours/g)).toHaveLength(4)
    expect(html.match(/left out: readings are missing/g)).toHaveLength(1)
  })

  it('draws the level of another unit at the same height', () => {
    const inBecquerels = { ...record, level: { ...record.level!, value: '148', unit: 'Bq/m3' as const } }
    const ruleOf = (text: string) => /class="level"><line [^>]*y1="([\d.]+)"/.exec(text)?.[1]
    expect(ruleOf(String(RecordChart({ facts: inBecquerels })))).toBe(ruleOf(html))
    expect(Number(ruleOf(html))).toBeCloseTo(scale.y(4), 0)
  })

  it('of ninety days is told by the day and never as thousands of rows', () => {
    const values = Array.from({ length: 24 * 90 }, (_, index) => index % 50)
    const long = String(RecordChart({ facts: { ...record, series: { ...series, values } } }))
    expect(long.match(/<th scope="row"/g)!.length).toBeLessThanOrEqual(92)
  })

  it('without readings says so', () => {
    expect(String(RecordChart({ facts: { ...record, series: { ...series, values: [] } } }))).toContain('no readings')
  })
})
