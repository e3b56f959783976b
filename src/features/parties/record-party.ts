import type { LocalDay } from '../../domain/facts.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { type Fault, problem, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { endPartyOn, findWork, insertParty, isKnownCustomer, lockParty, markPartyVoided } from './queries.ts'
import type { NewParty } from './schemas.ts'

/** Says that a customer ordered a piece of work, pays for it or may see its result; gives the id. No rule of a home reads it. */
export async function addParty(tx: Tx, act: Act, propertyId: string, input: NewParty): Promise<string> {
  await seenHome(tx, act, propertyId)
  const party = { ...input, firstOn: input.firstOn ?? null, lastOn: input.lastOn ?? null }
  const work = await findWork(tx, act, party.subject, party.subjectId)
  refuse([
    ...(work?.propertyId === propertyId
      ? []
      : [unknown('/subjectId', `There is no such ${party.subject} at this home: use one that is listed there`)]),
    ...((await isKnownCustomer(tx, party.customerId))
      ? []
      : [unknown('/customerId', 'There is no such customer: use one that is there')]),
    ...endsBefore(party.firstOn, party.lastOn),
  ])
  const id = newId()
  await insertParty(tx, act.now, { ...party, id, propertyId })
  await recordWrite(tx, act, { action: 'create', noun: 'work_party', id, propertyId, version: 1 })
  return id
}

type Ids = { readonly propertyId: string; readonly partyId: string }

/** The last day of somebody's part in a piece of work. */
export async function endParty(tx: Tx, act: Act, ids: Ids, version: number, lastOn: LocalDay): Promise<void> {
  const was = await partyToChange(tx, act, ids, version)
  refuse(endsBefore(was.firstOn, lastOn))
  await endPartyOn(tx, was.id, lastOn)
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'work_party',
    id: was.id,
    propertyId: ids.propertyId,
    version: version + 1,
    fields: ['lastOn'],
    was: { lastOn: was.lastOn },
  })
}

/** Takes back what was said by mistake. */
export async function voidParty(tx: Tx, act: Act, ids: Ids, version: number, reason: string): Promise<void> {
  const { id } = await partyToChange(tx, act, ids, version)
  await markPartyVoided(tx, act.now, id, reason)
  const written = { noun: 'work_party', id, propertyId: ids.propertyId, version: version + 1, reason }
  await recordWrite(tx, act, { action: 'void', ...written })
}

async function partyToChange(tx: Tx, act: Act, { propertyId, partyId }: Ids, version: number) {
  await seenHome(tx, act, propertyId)
  const party = await lockParty(tx, propertyId, partyId)
  if (party.version !== version) throw stale(party.version)
  return party
}

const unknown = (pointer: string, detail: string): Fault => ({ pointer, code: 'unknown-reference', detail })

const endsBefore = (firstOn: LocalDay | null, lastOn: LocalDay | null): Fault[] =>
  firstOn !== null && lastOn !== null && lastOn < firstOn
    ? [{ pointer: '/lastOn', code: 'order', detail: `It begins on ${firstOn}: give a later last day` }]
    : []

function refuse(faults: readonly Fault[]): void {
  if (faults.length > 0)
    throw problem(422, 'impossible', 'The facts contradict each other or nature; nothing was saved.', faults)
}
