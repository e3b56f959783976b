import { putCallbacks } from '../../features/callbacks/put-callbacks.ts'
import { putEvents } from '../../features/properties/put-homes.ts'
import { putSuctionPoints, putSystems } from '../../features/systems/put-systems.ts'
import { moveTests } from '../../features/tests/move-test.ts'
import { putVisits } from '../../features/visits/put-visits.ts'
import { sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { alongWords, belongingsOf, counted, type Moving, takeAlong } from '../moving.ts'
import type { MoveIn } from './move-body.ts'

type Ids = readonly string[]

const onSystem = sql(
  'putting-right-on-system',
  `select array(select id from test where system_id = $1 order by id) as tests,
     array(select id from callback where system_id = $1 order by id) as callbacks,
     array(select id from suction_point where system_id = $1 and foundation_area_id is not null order by id) as points`,
)

/** A system goes with all its parts, events and readings; tests and callbacks at the old home no longer name it. */
export async function moveSystem(tx: Tx, act: Act, { id, intoId, reason }: MoveIn): Promise<Moving> {
  const { tests, callbacks, points } = (await tx.one<{ tests: Ids; callbacks: Ids; points: Ids }>(onSystem, [id]))!
  const own = await belongingsOf(tx, 'system', id)
  return {
    touched: {
      system: [id],
      suction_point: points,
      test: tests,
      callback: callbacks,
      note: own.notes,
      work_party: own.parties,
    },
    told: [
      'Its parts, events and gauge readings come along.',
      ...alongWords(own),
      ...counted(
        tests.length,
        'A test that named it stays behind, and then names none.',
        'Tests that named it stay behind, and then name none',
      ),
      ...counted(callbacks.length, 'A callback about it stays behind.', 'Callbacks about it stay behind'),
      ...counted(
        points.length,
        'Its suction point no longer names a part of the foundation.',
        'Its suction points no longer name parts of the foundation',
      ),
    ],
    async write(tx) {
      await putSystems(tx, act, [{ id, propertyId: intoId }], reason)
      await putSuctionPoints(
        tx,
        act,
        points.map(id => ({ id, foundationAreaId: null })),
        reason,
      )
      await moveTests(
        tx,
        act,
        tests.map(id => ({ id, systemId: null })),
        reason,
      )
      await putCallbacks(
        tx,
        act,
        callbacks.map(id => ({ id, systemId: null })),
        reason,
      )
      await takeAlong(tx, act, own, intoId, reason)
    },
  }
}

const ofVisit = sql(
  'putting-right-of-visit',
  'select test_id as "testId", callback_id as "callbackId" from visit where id = $1',
)

/** A visit goes with who went on it; the test and the callback of the old home stay there. */
export async function moveVisit(tx: Tx, act: Act, { id, intoId, reason }: MoveIn): Promise<Moving> {
  const { testId, callbackId } = (await tx.one<{ testId: string | null; callbackId: string | null }>(ofVisit, [id]))!
  const own = await belongingsOf(tx, 'visit', id)
  return {
    touched: { visit: [id], note: own.notes, work_party: own.parties },
    told: [
      'Whoever went on it comes along.',
      ...alongWords(own),
      ...(testId ? ['The test it was for stays behind.'] : []),
      ...(callbackId ? ['The callback it was for stays behind.'] : []),
    ],
    async write(tx) {
      await putVisits(tx, act, [{ id, propertyId: intoId, testId: null, callbackId: null }], reason)
      await takeAlong(tx, act, own, intoId, reason)
    },
  }
}

const ofCallback = sql(
  'putting-right-of-callback',
  `select system_id as "systemId", array(select v.id from visit v where v.callback_id = c.id order by v.id) as visits
     from callback c where c.id = $1`,
)

/** A callback goes with what was asked and done; the system and the visits of the old home stay there. */
export async function moveCallback(tx: Tx, act: Act, { id, intoId, reason }: MoveIn): Promise<Moving> {
  const { systemId, visits } = (await tx.one<{ systemId: string | null; visits: Ids }>(ofCallback, [id]))!
  const own = await belongingsOf(tx, 'callback', id)
  return {
    touched: { callback: [id], visit: visits, note: own.notes, work_party: own.parties },
    told: [
      ...alongWords(own),
      ...(systemId ? ['The system it named stays behind: the callback then names none.'] : []),
      ...counted(visits.length, 'The visit for it stays behind.', 'The visits for it stay behind'),
    ],
    async write(tx) {
      await putCallbacks(tx, act, [{ id, propertyId: intoId, systemId: null }], reason)
      await putVisits(
        tx,
        act,
        visits.map(id => ({ id, callbackId: null })),
        reason,
      )
      await takeAlong(tx, act, own, intoId, reason)
    },
  }
}

/** What happened at the neighbour's. */
export const moveEvent = async (_tx: Tx, act: Act, { id, intoId, reason }: MoveIn): Promise<Moving> => ({
  touched: { home_event: [id] },
  told: [],
  write: tx => putEvents(tx, act, [{ id, propertyId: intoId }], reason),
})
