import type { SeriesFacts } from '../../domain/facts.ts'
import { shown } from './fault.ts'
import type { ReadRecord } from './read-with.ts'
import type { Reading } from './reading.ts'
import { cellsOf, linesOf } from './split-line.ts'

/** One of the first rows: as it stands in the file. */
export type PreviewRow = { readonly line: number; readonly cells: readonly string[] }

const ROWS_SHOWN = 8

/** The first rows under the header, cell by cell. */
export function previewRows(text: string, reading: Reading): readonly PreviewRow[] {
  const rows: PreviewRow[] = []
  for (const [line, content] of linesOf(text)) {
    if (line < reading.firstDataLine || content.trim() === '') continue
    rows.push({ line, cells: (cellsOf(content, reading.delimiter) ?? [content]).map(shown) })
    if (rows.length === ROWS_SHOWN) break
  }
  return rows
}

/** The record as points for a chart: at most `most`, each the first of its stretch, gaps kept. */
export function chartPoints(
  record: ReadRecord,
  most = 2000,
): readonly { readonly at: number; readonly value: number | null }[] {
  const { startAt, intervalS, values, offsetsS, scale } = record.series
  const stride = Math.max(1, Math.ceil(values.length / most))
  const points: { at: number; value: number | null }[] = []
  for (let i = 0; i < values.length; i += stride) {
    const value = values[i] ?? null
    points.push({
      at: startAt + (i * intervalS + (offsetsS[i] ?? 0)) * 1000,
      value: value === null ? null : value / 10 ** scale,
    })
  }
  return points
}

/** A record with so few readings that it can be drawn: each the first of its stretch. */
export function thinned(series: SeriesFacts, most: number): SeriesFacts {
  const stride = Math.ceil(series.values.length / most)
  if (stride <= 1) return series
  const every = <T>(list: readonly T[]): T[] => list.filter((_, i) => i % stride === 0)
  return {
    ...series,
    intervalS: series.intervalS * stride,
    values: every(series.values),
    offsetsS: every(series.offsetsS),
  }
}
