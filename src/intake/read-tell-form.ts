import { problem } from '../platform/http/problem.ts'
import { type TypedFields, textIn } from '../web/typed-fields.ts'
import type { ImportBatch } from './import-rows.ts'

/** What the form tells of a file, as the API would say it; the schema is held against it afterwards. */
export const toldIn = (batch: ImportBatch, typed: TypedFields): object =>
  batch.kind === 'monitor-record' ? toldOfRecordIn(typed) : toldOfTableIn(batch, typed)

function toldOfRecordIn(typed: TypedFields): object {
  try {
    return { [textIn(typed, 'part')]: JSON.parse(textIn(typed, 'value')) as unknown }
  } catch {
    throw problem(422, 'invalid', 'Nothing was chosen: choose one and send it again.')
  }
}

function toldOfTableIn(batch: ImportBatch, typed: TypedFields): object {
  const said = (name: string) => textIn(typed, name) || null
  const known = batch.reading.kind === 'results-table' ? (batch.reading.reading?.columns ?? []) : []
  const columns = known.map(column => ({ ...column, role: said(`column-${column.index}`) ?? column.role }))
  const dateOrder = said('dateOrder')
  return {
    ...(columns.length > 0 ? { columns } : {}),
    ...(dateOrder ? { dateOrder } : {}),
    unknownHomes: said('unknownHomes') ?? 'refuse',
    constants: {
      method: said('method'),
      purpose: said('purpose'),
      unit: said('unit'),
      start: said('start'),
      stop: said('stop'),
      city: said('city'),
      region: said('region'),
      country: (said('country') ?? 'US').toUpperCase(),
    },
  }
}
