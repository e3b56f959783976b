import { moveTests, placeExposures } from '../../features/tests/move-test.ts'
import { lockTest } from '../../features/tests/queries.ts'
import { putVisits } from '../../features/visits/put-visits.ts'
import { sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { alongWords, belongingsOf, counted, devicesOfTest, type Moving, takeAlong, takeDevices } from '../moving.ts'
import { roomsThere } from '../rooms-there.ts'
import type { MoveIn } from './move-body.ts'

const pointing = sql(
  'putting-right-pointing-at-test',
  `select array(select id from test where follows_test_id = $1 order by id) as followers,
     array(select id from visit where test_id = $1 order by id) as visits`,
)
type Pointing = { readonly followers: readonly string[]; readonly visits: readonly string[] }

/** A test goes with its measurements, kits and bookings; what it named at the old home is cut loose. */
export async function moveTest(tx: Tx, act: Act, { id, intoId, reason }: MoveIn): Promise<Moving> {
  const test = await lockTest(tx, act, id)
  const { followers, visits } = (await tx.one<Pointing>(pointing, [id]))!
  const own = await belongingsOf(tx, 'test', id)
  const devices = await devicesOfTest(tx, id)
  const rooms = await roomsThere(
    tx,
    act,
    test.exposures.flatMap(({ locationId }) => locationId ?? []),
    intoId,
  )
  return {
    rooms,
    touched: {
      exposure: test.exposures.map(exposure => exposure.id),
      ...{ test: [id, ...followers], visit: visits, kit: devices.kits, booking: devices.bookings },
      ...{ note: own.notes, work_party: own.parties },
    },
    told: [
      ...rooms.told,
      ...counted(devices.kits.length, 'Its kit comes along.', 'Its kits come along'),
      ...counted(
        devices.bookings.length,
        'The booking of its monitor comes along.',
        'The bookings of its monitors come along',
      ),
      ...alongWords(own),
      ...(test.systemId ? ['The system it named stays behind: the test then names none.'] : []),
      ...(test.followsTestId ? ['The test that it followed up stays behind: it then follows up none.'] : []),
      ...counted(followers.length, 'A test that followed it up stays behind.', 'Tests that followed it up stay behind'),
      ...counted(visits.length, 'The visit it was made on stays behind.', 'The visits it was made on stay behind'),
    ],
    async write(tx) {
      const places = test.exposures.map(({ id, locationId }) => ({
        id,
        locationId: locationId && rooms.there.get(locationId)!,
      }))
      await placeExposures(tx, places)
      const moved = { id, propertyId: intoId, systemId: null, followsTestId: null }
      await moveTests(tx, act, [moved, ...followers.map(id => ({ id, followsTestId: null }))], reason)
      await putVisits(
        tx,
        act,
        visits.map(id => ({ id, testId: null })),
        reason,
      )
      await takeDevices(tx, act, devices, intoId, reason)
      await takeAlong(tx, act, own, intoId, reason)
    },
  }
}
