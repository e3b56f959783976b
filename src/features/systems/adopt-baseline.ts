import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import type { Restood } from '../../standing/restand.ts'
import { addParts } from './change-system.ts'
import { lockSystem } from './queries.ts'
import type { NewBaseline } from './schemas.ts'

/** Takes a reading for the baseline; one adopted before stays on record. */
export async function adoptBaseline(
  tx: Tx,
  act: Act,
  systemId: string,
  { reason, ...reading }: NewBaseline,
): Promise<Restood> {
  const { baseline } = await lockSystem(tx, act, systemId)
  if (baseline?.role === 'start-up' && baseline.at > reading.at)
    throw problem(422, 'impossible', 'A start-up value was read after this one; nothing was saved.', [
      {
        pointer: '/at',
        code: 'out-of-order',
        detail: 'lies before the start-up reading, which holds: void that one first, or read the gauge anew',
      },
    ])
  const read = { ...reading, role: 'adopted' as const, readBy: reading.readBy || nameOf(act), note: reason }
  return (await addParts(tx, act, systemId, { gaugeReadings: [read] })).restood
}

const nameOf = ({ actor }: Act): string => (actor.kind === 'staff' ? actor.name : '')
