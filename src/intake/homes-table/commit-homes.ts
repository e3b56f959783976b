import { setTimeout as pause } from 'node:timers/promises'
import { writeHomeNotes } from '../../features/documents/keep-note.ts'
import { writeOwners } from '../../features/properties/change-owner.ts'
import { writePersons } from '../../features/properties/change-people.ts'
import { writeHomes } from '../../features/properties/create-property.ts'
import { addPartsToMany } from '../../features/systems/change-system.ts'
import { writeSystems } from '../../features/systems/install-system.ts'
import { type TestToRecord, writeTests } from '../../features/tests/record-test.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { holdHomes, restandHomes } from '../../standing/restand.ts'
import { isTurnOfTable } from '../import-queries.ts'
import type { HomesSummary } from '../import-rows.ts'
import { fillHomes } from './fill-homes.ts'
import type { TestCells } from './home-facts.ts'
import type { HomesReading } from './homes-reading.ts'
import { holdReminders, keepMade, type Made, type MadeNoun } from './made-queries.ts'
import type { MatchedHome } from './match-homes.ts'
import { customersFor, type KnownPeople, PeopleMet, peopleOf } from './people-to-write.ts'
import { plansAnew } from './plan-anew.ts'
import { dateNote, endOfTest, type HomePlan, isNothingNew } from './plan-home.ts'
import { refuseUnsettled } from './refuse-unsettled.ts'
import { addedParts, dayOrNull, systemToWrite } from './system-to-write.ts'
import { foundationsNamed } from './trade-words.ts'
import { compareHomes, type PreparedHomes, plansOf } from './try-homes.ts'

// So many homes are written and stood by one round of statements: enough to be quick, few enough for one statement.
const homesAtOnce = 200

/** Another table may take minutes to write, and a statement that waited for it would be ended. */
const BETWEEN_TRIES = 500

/** Told after each round how far it has come; throws when somebody asked to stop. */
export type Progress = (done: number, total: number) => Promise<void>

/** Writes all that a table of homes tells and the record does not know. One transaction: all or nothing. */
export async function commitHomes(
  tx: Tx,
  act: Act,
  importId: string,
  prepared: PreparedHomes,
  reading: HomesReading,
  progress: Progress,
): Promise<HomesSummary> {
  while (!(await isTurnOfTable(tx))) {
    await progress(0, 0)
    await pause(BETWEEN_TRIES)
  }
  const toWrite: MatchedHome[] = []
  const people = new PeopleMet(tx)
  const look = await compareHomes(tx, act, prepared, reading, async (home, plan) => {
    if (isNothingNew(plan)) return
    toWrite.push(home)
    await people.meet(peopleOf(plan))
  })
  refuseUnsettled(look, reading)
  await holdHomes(
    tx,
    toWrite.flatMap(({ id }) => id ?? []),
  )
  const known = await people.known()
  const planAnew = plansAnew(tx)
  for (let from = 0; from < toWrite.length; from += homesAtOnce) {
    await planAnew(from)
    await progress(from, toWrite.length)
    const plans = await plansOf(tx, prepared, toWrite.slice(from, from + homesAtOnce))
    await writeSome(tx, act, importId, { prepared, plans, known })
  }
  await progress(toWrite.length, toWrite.length)
  return look.counts
}

type Some = { readonly prepared: PreparedHomes; readonly plans: readonly HomePlan[]; readonly known: KnownPeople }
type Written = { readonly plan: HomePlan; readonly id: string; readonly zone: string }

async function writeSome(tx: Tx, act: Act, importId: string, { prepared, plans, known }: Some): Promise<void> {
  const { homes, made } = await takeUp(tx, act, prepared, plans)
  const onRecord = homes.filter(({ plan }) => plan.on !== null)
  made.push(
    ...(await fillHomes(
      tx,
      act,
      onRecord.map(({ id, plan: { fill } }) => ({ id, fill })),
    )),
  )
  made.push(...(await writePeople(tx, act, homes, known)))
  made.push(...(await writeTheirSystems(tx, act, homes)))
  const tests = homes.flatMap(({ plan, id, zone }) =>
    plan.tests.map(test => ({ propertyId: id, test: testOf(test, zone, importId), pointer: rowOf(plan) })),
  )
  made.push(...paired('test', tests, await writeTests(tx, act, tests)))
  const notes = homes.flatMap(({ plan, id }) =>
    plan.note.length === 0 ? [] : [{ propertyId: id, text: noteText(plan.note) }],
  )
  if (notes.length > 0) made.push(...paired('note', notes, await writeHomeNotes(tx, act, notes)))
  const ids = homes.map(({ id }) => id)
  await keepMade(tx, importId, made)
  await holdReminders(tx, importId, ids, act.now)
  await restandHomes(tx, act, ids)
}

const paired = (noun: MadeNoun, rows: readonly { readonly propertyId: string }[], ids: readonly string[]): Made[] =>
  ids.map((id, i) => ({ noun, id, propertyId: rows[i]!.propertyId }))
const rowOf = ({ home: { rows } }: HomePlan): string => `/rows/${rows[0]!.line}`
const MOST_NOTE = 10_000
const noteText = (lines: readonly string[]): string => `From the old records\n${lines.join('\n')}`.slice(0, MOST_NOTE)

async function takeUp(tx: Tx, act: Act, { settled }: PreparedHomes, plans: readonly HomePlan[]) {
  const fresh = plans.filter(({ on }) => on === null)
  const columns = fresh.map(({ home }) => {
    const found = settled.columnsOf(home)
    if (!found) throw problem(409, 'home-gone', 'A home of this table has gone since it was looked at; look again.')
    return found
  })
  const made = await writeHomes(
    tx,
    act,
    fresh.map(({ home }, i) => ({
      settled: columns[i]!,
      foundationAreas: home.foundation === null ? [] : [...foundationsNamed(home.foundation)],
      testLocations: [],
    })),
  )
  const homes: Written[] = [
    ...fresh.map((plan, i) => ({ plan, id: made[i]!.id, zone: columns[i]!.zone })),
    ...plans.flatMap(plan => (plan.on ? [{ plan, id: plan.on.id, zone: plan.on.zone }] : [])),
  ]
  return { homes, made: made.map(({ id }): Made => ({ noun: 'property', id, propertyId: id })) }
}

async function writePeople(tx: Tx, act: Act, homes: readonly Written[], known: KnownPeople): Promise<Made[]> {
  const { ids, made } = await customersFor(
    tx,
    act,
    homes.flatMap(({ plan }) => peopleOf(plan)),
    known,
  )
  const owners = homes.flatMap(({ plan: { owner, home }, id }) => {
    if (!owner) return []
    const fromOn = dayOrNull(home.ownerSince)
    return [{ propertyId: id, customerId: ids.get(owner)!, fromOn, roughly: fromOn ? null : home.ownerSince }]
  })
  const others = homes.flatMap(({ plan, id }) =>
    plan.others.map(({ role, person }) => ({ propertyId: id, customerId: ids.get(person)!, role })),
  )
  return [
    ...made.map((id): Made => ({ noun: 'customer', id, propertyId: null })),
    ...(owners.length > 0 ? paired('ownership', owners, await writeOwners(tx, act, owners)) : []),
    ...(others.length > 0 ? paired('property_person', others, await writePersons(tx, act, others)) : []),
  ]
}

async function writeTheirSystems(tx: Tx, act: Act, homes: readonly Written[]): Promise<Made[]> {
  const all = homes.flatMap(({ plan, id, zone }) =>
    plan.systems.map(({ to, cells }) => ({ propertyId: id, to, cells, when: { zone, now: act.now } })),
  )
  const fresh = all
    .filter(({ to }) => to === null)
    .map(({ propertyId, cells, when }) => ({ propertyId, system: systemToWrite(cells, when) }))
  const added = all.flatMap(({ propertyId, to, cells, when }) =>
    to === null ? [] : [{ propertyId, systemId: to, parts: addedParts(cells, when) }],
  )
  const parts = added.length > 0 ? await addPartsToMany(tx, act, added) : []
  return [
    ...(fresh.length > 0 ? paired('system', fresh, await writeSystems(tx, act, fresh)) : []),
    ...parts.flatMap((ids, i) => ids.map((id): Made => ({ noun: 'part', id, propertyId: added[i]!.propertyId }))),
  ]
}

function testOf(test: TestCells, zone: string, importBatchId: string): TestToRecord {
  const { purpose, method, value, unit, qualifier, day } = test
  const stopAt = day === null ? null : endOfTest(day, zone)
  return {
    ...{ purpose, method, importBatchId },
    source: 'imported',
    pickedUpAt: stopAt,
    resultInAt: stopAt,
    conditionsNote: day === null ? dateNote(test) : '',
    exposures: [{ role: 'measurement', stopAt, result: { value, unit, qualifier } }],
  }
}
