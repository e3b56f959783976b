import { moveTests, placeExposures } from '../../features/tests/move-test.ts'
import { lockTest } from '../../features/tests/queries.ts'
import { sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Done, Prepared } from '../correction-rows.ts'
import { nouns } from '../nouns.ts'
import { made, partsOfWrite } from '../record-parts.ts'
import { recordToPutRight } from '../record-to-put-right.ts'
import { roomsThere } from '../rooms-there.ts'
import type { MoveIn } from './move-body.ts'

/** A test entered for another home goes there with its measurements; what it named at the old home is cut loose. */
export async function moveTest(tx: Tx, act: Act, asked: MoveIn): Promise<Prepared> {
  const test = await lockTest(tx, act, asked.id)
  return {
    aim: {
      ...{ kind: 'move', noun: 'test', nounId: test.id, intoId: asked.intoId, reason: asked.reason },
      subject: (await recordToPutRight(tx, act, 'test', test.id)).subject,
      homes: [test.propertyId, asked.intoId],
      versions: [test.version],
    },
    work: tx => workOf(tx, act, test, asked),
  }
}

type TestRow = Awaited<ReturnType<typeof lockTest>>

const following = sql('putting-right-following', 'select id from test where follows_test_id = $1')

async function workOf(tx: Tx, act: Act, test: TestRow, { intoId, reason }: MoveIn): Promise<Done> {
  const rooms = await roomsThere(
    tx,
    act,
    test.exposures.flatMap(({ locationId }) => locationId ?? []),
    intoId,
  )
  const followers = (await tx.rows<{ id: string }>(following, [test.id])).map(({ id }) => id)
  const touched = { exposure: test.exposures.map(({ id }) => id), test: [test.id, ...followers] }
  const parts = await partsOfWrite(tx, nouns, touched, async () => {
    const places = test.exposures.map(({ id, locationId }) => ({
      id,
      locationId: locationId && rooms.there.get(locationId)!,
    }))
    await placeExposures(tx, places)
    const cut = followers.map(id => ({ id, followsTestId: null }))
    const moved = { id: test.id, propertyId: intoId, systemId: null, followsTestId: null }
    await moveTests(tx, act, [moved, ...cut], reason)
  })
  return {
    parts: [...made('test_location', rooms.made), ...parts],
    told: [...rooms.told, ...cutLoose(test, followers.length)],
  }
}

const cutLoose = (test: TestRow, followers: number): string[] => [
  ...(test.systemId ? ['The system it named stays behind: the test then names none.'] : []),
  ...(test.followsTestId ? ['The test that it followed up stays behind: it then follows up none.'] : []),
  ...(followers > 0 ? ['A test that followed it up stays behind, and then follows up none.'] : []),
]
