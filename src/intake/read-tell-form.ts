import { problem } from '../platform/http/problem.ts'
import { type TypedFields, textIn } from '../web/typed-fields.ts'
import type { ImportBatch } from './import-rows.ts'

/** What the form tells of a file, as the API would say it; the schema is held against it afterwards. */
export const toldIn = (batch: ImportBatch, typed: TypedFields): object =>
  batch.kind === 'monitor-record'
    ? toldOfRecordIn(typed)
    : batch.kind === 'homes-table'
      ? toldOfHomesIn(batch, typed)
      : toldOfTableIn(batch, typed)

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

function toldOfHomesIn(batch: ImportBatch, typed: TypedFields): object {
  const part = textIn(typed, 'part')
  if (part === 'doubles') return { doubles: doublesIn(typed) }
  if (part === 'bad-rows') return { badRows: textIn(typed, 'badRows') }
  const said = (name: string) => textIn(typed, name) || null
  const known = batch.reading.kind === 'homes-table' ? (batch.reading.reading?.sheets ?? []) : []
  const sheets = known.map(sheet => ({
    ...sheet,
    read: (said(`sheet-${sheet.index}`) ?? (sheet.read ? 'yes' : 'no')) === 'yes',
    columns: sheet.columns.map(column => ({
      ...column,
      role: said(`column-${sheet.index}-${column.index}`) ?? column.role,
    })),
  }))
  const [dateOrder, decimalMark] = [said('dateOrder'), said('decimalMark')]
  return {
    ...(sheets.length > 0 ? { sheets } : {}),
    ...(dateOrder ? { dateOrder } : {}),
    ...(decimalMark ? { decimalMark } : {}),
    constants: {
      city: said('city'),
      region: said('region'),
      country: (said('country') ?? 'US').toUpperCase(),
      zone: said('zone'),
      radonUnit: said('radonUnit'),
      gaugeUnit: said('gaugeUnit'),
      installedBy: said('installedBy') ?? 'unknown',
    },
  }
}

/** Each pair as it was decided; those nobody said anything of as all the rest, where that was decided. */
function doublesIn(typed: TypedFields): Record<string, string> {
  const pairs = [typed.pair ?? []].flat().filter((id): id is string => typeof id === 'string')
  const rest = textIn(typed, 'the-rest')
  return Object.fromEntries(
    pairs.flatMap(id => {
      const said = textIn(typed, `double-${id}`) || rest
      return said === '' ? [] : [[id, said]]
    }),
  )
}
