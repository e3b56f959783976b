import { peopleOfMergedHome } from '../domain/people/people-of-merged-home.ts'
import { putCallbacks } from '../features/callbacks/put-callbacks.ts'
import { putBookings, putKits } from '../features/devices/put-home-devices.ts'
import { putNotes } from '../features/documents/put-notes.ts'
import { putLinks, putReports } from '../features/homeowner/put-page.ts'
import { putOutreach } from '../features/month/put-outreach.ts'
import { putParties } from '../features/parties/put-parties.ts'
import { handOverOwnerships, handOverPersons } from '../features/properties/hand-over-homes.ts'
import type { AroundChange } from '../features/properties/hand-over-queries.ts'
import { putAreas, putEvents, putHomes, putRooms } from '../features/properties/put-homes.ts'
import { putSuctionPoints, putSystems } from '../features/systems/put-systems.ts'
import { moveTests, placeExposures } from '../features/tests/move-test.ts'
import { putVisits } from '../features/visits/put-visits.ts'
import { putImports } from '../intake/put-imports.ts'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import {
  aroundBoth,
  linksThatMove,
  notesOnHome,
  onlyEmptiedSays,
  sentIn,
  waitsOnlyThere,
} from './merged-home-queries.ts'
import { mergedRooms, thereOf } from './merged-rooms.ts'
import { counted, type Moving } from './moving.ts'
import { thingsOfHome, thingsWords } from './things-of-home.ts'

type Merge = { readonly fromId: string; readonly intoId: string; readonly reason: string }

/** What a merge of two homes touches, writes and tells. */
export async function planMerge(tx: Tx, act: Act, { fromId, intoId, reason }: Merge): Promise<Moving> {
  const things = await thingsOfHome(tx, fromId)
  const rooms = await mergedRooms(tx, fromId, intoId)
  const around = await aroundBoth(tx, fromId, intoId)
  const people = peopleOfMergedHome(
    around.filter(({ propertyId }) => propertyId === fromId),
    around.filter(({ propertyId }) => propertyId === intoId),
  )
  const links = await linksThatMove(tx, fromId, intoId, people.moved)
  const { reports, imports } = await sentIn(tx, fromId)
  const onHome = await notesOnHome(tx, fromId)
  const only = await onlyEmptiedSays(tx, fromId, intoId)
  const waits = await waitsOnlyThere(tx, fromId, intoId)
  const changes = aroundChanges(people, intoId, act.now)
  const roleOf = (id: string) => around.find(one => one.id === id)!.role
  const owners = changes.filter(({ id }) => roleOf(id) === 'owner')
  const others = changes.filter(({ id }) => roleOf(id) !== 'owner')
  const there = (ids: readonly string[]) => ids.map(id => ({ id, propertyId: intoId }))
  const { test, system, visit, callback, kit, booking, work_party, note, outreach, home_event } = things
  return {
    // In the order in which they are put back last to first.
    touched: {
      ...{ foundation_area: rooms.areas.map(({ id }) => id), test_location: rooms.rooms.map(({ id }) => id) },
      ...{ exposure: idsOf(rooms.exposures), suction_point: idsOf(rooms.points) },
      ...{ test, system, visit, callback, booking, work_party, note, outreach, home_event },
      kit: [...new Set([...kit, ...idsOf(rooms.kits)])],
      ...{ ownership: idsOf(owners), property_person: idsOf(others) },
      ...{ homeowner_link: links, homeowner_report: reports, import: imports, property: [fromId] },
    },
    told: [
      ...thingsWords({ ...things, ownership: [], property_person: [], test_location: [], foundation_area: [] }).map(
        thing => `Goes to the home that stays: ${thing}.`,
      ),
      ...counted(
        rooms.rooms.filter(one => one.thereId).length,
        'A room is at both: it becomes one.',
        'Rooms that are at both become one',
      ),
      ...counted(rooms.rooms.filter(one => !one.thereId).length, 'A room goes along.', 'Rooms go along'),
      ...counted(people.moved.length, 'Somebody around the home goes along.', 'People around the home go along'),
      ...counted(
        people.doubled.length,
        'Somebody is around both: they stand there once.',
        'People who are around both stand there once',
      ),
      ...counted(
        people.left.length,
        'An owner stays behind: the home that stays names another for the same days.',
        'Owners stay behind, as the home that stays names others for the same days',
      ),
      ...(only.length > 0
        ? [`Only the entry that is emptied says this, copy it by hand if it holds: ${only.join(', ')}.`]
        : []),
      ...(waits
        ? ['Reminders of the home that stays wait from now on, until the import of the emptied entry is released.']
        : []),
      'What the emptied entry says of the house itself, and which apps may read it, does not go along.',
    ],
    async write(tx) {
      await putAreas(
        tx,
        act,
        rooms.areas.map(({ id, thereId }) => (thereId ? gone(id, act.now) : { id, propertyId: intoId })),
        reason,
      )
      await putRooms(
        tx,
        act,
        rooms.rooms.map(({ id, thereId, areaId }) =>
          thereId ? gone(id, act.now) : { id, propertyId: intoId, foundationAreaId: thereOf(rooms.areas, areaId) },
        ),
        reason,
      )
      await placeExposures(
        tx,
        rooms.exposures.map(({ id, at }) => ({ id, locationId: thereOf(rooms.rooms, at) })),
      )
      await putSuctionPoints(
        tx,
        act,
        rooms.points.map(({ id, at }) => ({ id, foundationAreaId: thereOf(rooms.areas, at) })),
        reason,
      )
      await moveTests(tx, act, there(test), reason)
      await putSystems(tx, act, there(system), reason)
      await putVisits(tx, act, there(visit), reason)
      await putCallbacks(tx, act, there(callback), reason)
      await putBookings(tx, act, there(booking), reason)
      await putParties(tx, act, there(work_party), reason)
      await putNotes(
        tx,
        act,
        note.map(id => ({ id, propertyId: intoId, ...(onHome.has(id) ? { subjectId: intoId } : {}) })),
        reason,
      )
      await putOutreach(tx, act, there(outreach), reason)
      await putEvents(tx, act, there(home_event), reason)
      await putKits(tx, act, there(kit), reason)
      await putKits(
        tx,
        act,
        rooms.kits.map(({ id, at }) => ({ id, locationId: thereOf(rooms.rooms, at) })),
        reason,
      )
      await handOverOwnerships(tx, act, owners, reason)
      await handOverPersons(tx, act, others, reason)
      await putLinks(tx, act, there(links), reason)
      await putReports(tx, act, there(reports), reason)
      await putImports(tx, act, there(imports), reason)
      await putHomes(tx, act, [{ id: fromId, voidedAt: act.now, mergedIntoId: intoId }], reason)
    },
  }
}

const idsOf = (rows: readonly { readonly id: string }[]): string[] => rows.map(({ id }) => id)
const gone = (id: string, now: number) => ({ id, voidedAt: now })

const aroundChanges = (
  { doubled, longer, moved }: ReturnType<typeof peopleOfMergedHome>,
  propertyId: string,
  now: number,
): AroundChange[] => [...doubled.map(id => gone(id, now)), ...longer, ...moved.map(id => ({ id, propertyId }))]
