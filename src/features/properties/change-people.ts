import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite, recordWrites } from '../../platform/db/record-write.ts'
import { notFound, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { endPersonOn, insertPersons, isCustomer, readPeople, voidPersons } from './people-queries.ts'
import type { NewPerson } from './people-schemas.ts'
import { lockProperty } from './queries.ts'
import { refuse, unknownReference } from './refuse.ts'

/** Puts a customer beside a home in a part other than its owner's; gives the id. No rule reads it, so nothing re-stands. */
export async function addPerson(tx: Tx, act: Act, propertyId: string, input: NewPerson): Promise<string> {
  await lockProperty(tx, act, propertyId)
  refuse([
    ...((await isCustomer(tx, input.customerId))
      ? []
      : [unknownReference('/customerId', 'customer', input.customerId)]),
    ...(input.fromOn && input.untilOn && input.untilOn <= input.fromOn
      ? [
          {
            pointer: '/untilOn',
            code: 'order',
            detail: `It ends on ${input.untilOn}, before it began: correct one of the days`,
          },
        ]
      : []),
  ])
  const [id] = await writePersons(tx, act, [{ propertyId, ...input }])
  return id!
}

/** Puts customers beside homes, by the same few statements however many; gives the ids. */
export async function writePersons(
  tx: Tx,
  act: Act,
  persons: readonly (NewPerson & { readonly propertyId: string })[],
): Promise<readonly string[]> {
  const rows = persons.map(({ fromOn, untilOn, ...person }) => ({
    ...person,
    id: newId(),
    fromOn: fromOn ?? null,
    untilOn: untilOn ?? null,
  }))
  await insertPersons(tx, act.now, rows)
  await recordWrites(
    tx,
    act,
    rows.map(({ id, propertyId }) => ({ action: 'create', noun: 'property_person', id, propertyId, version: 1 })),
  )
  return rows.map(({ id }) => id)
}

/** Takes people from beside their homes again, as never having been there. */
export async function takeBackPersons(tx: Tx, act: Act, ids: readonly string[], reason: string): Promise<void> {
  const voided = await voidPersons(tx, ids, act.now)
  await recordWrites(
    tx,
    act,
    voided.map(row => ({ action: 'void', noun: 'property_person', ...row, reason })),
  )
}

/** Ends somebody's part around a home on a local day. */
export async function endPerson(
  tx: Tx,
  act: Act,
  ids: { propertyId: string; personId: string },
  version: number,
  untilOn: string,
): Promise<void> {
  await lockProperty(tx, act, ids.propertyId)
  const person = (await readPeople(tx, ids.propertyId)).find(one => one.id === ids.personId && one.role !== 'owner')
  if (!person) throw notFound('person')
  if (person.version !== version) throw stale(person.version)
  if (person.fromOn && untilOn < person.fromOn)
    refuse([{ pointer: '/untilOn', code: 'order', detail: `It began on ${person.fromOn}: give a later day` }])
  await endPersonOn(tx, ids.personId, ids.propertyId, untilOn)
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'property_person',
    id: ids.personId,
    propertyId: ids.propertyId,
    version: version + 1,
    fields: ['untilOn'],
    was: { untilOn: person.untilOn },
  })
}
