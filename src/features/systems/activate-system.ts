import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import type { Restood } from '../../standing/restand.ts'
import { systemToChange, written } from './change-system.ts'
import { type Parts, refuseImpossibleParts, writeParts } from './install-system.ts'
import { updateSystem } from './queries.ts'
import type { SystemRow } from './rows.ts'
import type { Activation } from './schemas.ts'

/** Puts a fan into a passive pipe: from its start on the system is driven, and what its gauge shows is the baseline. */
export async function activateSystem(
  tx: Tx,
  act: Act,
  systemId: string,
  version: number,
  input: Activation,
): Promise<Restood> {
  const was = await systemToChange(tx, act, systemId, version)
  if (was.active) throw problem(422, 'impossible', 'This system is driven by a fan already; nothing was saved.')
  const parts = partsOf(was, input)
  await refuseImpossibleParts(tx, act, was.propertyId, parts)
  await writeParts(tx, act, [{ systemId, parts }])
  await updateSystem(tx, act.now, systemId, { ...was, active: true, type: input.type ?? was.type })
  return written(tx, act, was, { action: 'correct', fields: ['active', 'type', ...Object.keys(parts)] })
}

const activated = 'A fan was put into the passive pipe.'

function partsOf(was: SystemRow, { startedAt, fan, baseline }: Activation): Parts {
  const when = { at: startedAt }
  // A pipe whose completion was written down as a first start has begun to work before: its fan comes on.
  const kind = was.events.some(event => event.kind === 'first-start') ? ('on' as const) : ('first-start' as const)
  return {
    components: [{ kind: 'fan', ...fan, installed: when }],
    events: [{ kind, when, note: activated }],
    gaugeReadings: baseline ? [{ ...baseline, role: 'adopted', at: startedAt, note: activated }] : [],
  }
}
