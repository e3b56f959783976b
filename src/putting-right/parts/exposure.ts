import { placeExposures } from '../../features/tests/move-test.ts'
import { restoreReadings } from '../../features/tests/replace-readings.ts'
import { sql, type Tx } from '../../platform/db/client.ts'
import type { Part } from '../correction-rows.ts'
import { type Field, instant, type NounParts, reference } from '../record-parts.ts'

// A result of a test may be replaced in its place: then it is no longer what the correction made.
const madeWithReading: Field = {
  value: `case when voided_at is null then jsonb_build_object('startAt', start_at, 'stopAt', stop_at, 'value', value,
    'unit', unit, 'qualifier', qualifier, 'uncertainty', uncertainty,
    'record', (select r.id from series r where r.exposure_id = exposure.id)) end`,
  since: 'A result that it put in was replaced since.',
}

export const exposureParts: NounParts = {
  table: 'exposure',
  fields: {
    made: madeWithReading,
    locationId: reference('location_id', 'A measurement was put into another room since.'),
    voidedAt: instant('voided_at', 'A result that it struck through stands again since.'),
  },
  async putBack(tx, act, records, reason) {
    const idsWith = (field: string) => records.filter(({ was }) => field in was).map(({ id }) => id)
    await restoreReadings(tx, act, { made: idsWith('made'), struck: idsWith('voidedAt') }, reason)
    await placeExposures(
      tx,
      records.flatMap(({ id, was }) =>
        'locationId' in was ? [{ id, locationId: was.locationId as string | null }] : [],
      ),
    )
  },
  hindrances: movedOrReadAgain,
}

const crossed = sql(
  'putting-right-exposures-crossed',
  `select coalesce(bool_or(x.voided_at is not null) filter (where x.id = any($1::uuid[])), false) as "readAgain",
     coalesce(bool_or(l.property_id <> t.property_id) filter (where x.id = any($2::uuid[])), false) as moved
     from exposure x join test t on t.id = x.test_id left join test_location l on l.id = x.location_id
    where x.id = any($1::uuid[] || $2::uuid[])`,
)

/** What was moved and then read again, or read again and then moved, is undone in the order in which it was done. */
async function movedOrReadAgain(tx: Tx, parts: readonly Part[]): Promise<string[]> {
  const idsOf = (of: string) => parts.filter(({ field }) => field === of).map(({ recordId }) => recordId)
  const found = await tx.one<{ readAgain: boolean; moved: boolean }>(crossed, [idsOf('locationId'), idsOf('voidedAt')])
  return [
    ...(found?.readAgain ? ['The file of the measurement was read again since: undo that first.'] : []),
    ...(found?.moved ? ['The test was moved to another home since: undo that first.'] : []),
  ]
}
