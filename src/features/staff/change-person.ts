import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { notFound, problem, stale } from '../../platform/http/problem.ts'
import { lockStaff, type Person, updateStaff } from './queries.ts'
import { endSessions } from './session-queries.ts'
import { useUpTokens } from './staff-token.ts'

type PersonChange = Partial<Pick<Person, 'name' | 'roles' | 'phone'>>

/** Changes who a person is and what they may do; it counts from their next request. */
export async function changePerson(
  tx: Tx,
  act: Act,
  staffId: string,
  version: number,
  change: PersonChange,
): Promise<void> {
  const was = await personToChange(tx, staffId, version, person => ({ ...person, ...change }))
  await save(tx, act, was, { ...was, ...change }, Object.keys(change))
}

/** Ends a person's access: no sign-in, no open session, no open link. What they did stays theirs. */
export async function disablePerson(tx: Tx, act: Act, staffId: string, version: number): Promise<void> {
  const was = await personToChange(tx, staffId, version, person => ({ ...person, disabledAt: act.now }))
  await save(tx, act, was, { ...was, disabledAt: act.now }, ['disabledAt'])
  await endSessions(tx, staffId, act.now, null)
  await useUpTokens(tx, staffId, act.now)
}

/** Lets a person sign in again, with the password they had. */
export async function enablePerson(tx: Tx, act: Act, staffId: string, version: number): Promise<void> {
  const was = await personToChange(tx, staffId, version, person => person)
  await save(tx, act, was, { ...was, disabledAt: null }, ['disabledAt'])
}

/** Locks everyone, because two owners who demote each other at once would leave none. */
async function personToChange(
  tx: Tx,
  staffId: string,
  version: number,
  after: (person: Person) => Person,
): Promise<Person> {
  const everyone = await lockStaff(tx)
  const person = everyone.find(({ id }) => id === staffId)
  if (!person) throw notFound('person')
  if (person.version !== version) throw stale(person.version)
  const remaining = everyone.map(other => (other.id === staffId ? after(other) : other))
  if (everyone.some(isOwner) && !remaining.some(isOwner))
    throw problem(409, 'last-owner', 'The company needs an owner: make somebody else one first.')
  return person
}

const isOwner = (person: Person) => person.disabledAt === null && person.roles.includes('owner')

async function save(tx: Tx, act: Act, was: Person, now: Person, fields: string[]): Promise<void> {
  await updateStaff(tx, act.now, now)
  const version = was.version + 1
  await recordWrite(tx, act, { action: 'correct', noun: 'staff', id: was.id, version, fields, was })
}
