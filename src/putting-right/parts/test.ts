import { voidTests } from '../../features/tests/correct-test.ts'
import { moveTests, restoreTests } from '../../features/tests/move-test.ts'
import { changeMoments } from '../../features/tests/replace-readings.ts'
import { instant, madeAnew, type NounParts, type PutBack, reference } from '../record-parts.ts'

const corrected = 'When the test was set, picked up or answered was corrected since.'
// Whoever accepted what a reading put in has not accepted what stands again without it.
const momentFields = {
  setAt: instant('set_at', corrected),
  pickedUpAt: instant('picked_up_at', corrected),
  resultInAt: instant('result_in_at', corrected),
  acceptedAt: { ...instant('accepted_at', ''), since: null },
  acceptedBy: { ...reference('accepted_by', ''), since: null },
}
const momentsOf = ({ id, was }: PutBack) => {
  const moments = Object.entries(was).filter(([field]) => field in momentFields)
  return moments.length > 0 ? [{ id, ...Object.fromEntries(moments) }] : []
}

export const testParts: NounParts = {
  table: 'test',
  fields: {
    made: madeAnew('The test made by it was voided since.'),
    propertyId: reference('property_id', 'The test was moved to another home since.'),
    systemId: reference('system_id', 'The test names another system since.'),
    followsTestId: reference('follows_test_id', 'The test follows up another test since.'),
    ...momentFields,
    voidedAt: instant('voided_at', 'The test was voided, or taken back into the reckoning, since.'),
  },
  async putBack(tx, act, records, reason) {
    const made = records.filter(({ was }) => 'made' in was)
    if (made.length > 0)
      await voidTests(
        tx,
        act,
        made.map(({ id }) => id),
        reason,
      )
    const voided = records.filter(({ was }) => 'voidedAt' in was && was.voidedAt === null)
    if (voided.length > 0)
      await restoreTests(
        tx,
        act,
        voided.map(({ id }) => id),
        reason,
      )
    await changeMoments(tx, act, records.flatMap(momentsOf), reason)
    const moved = records.filter(({ was }) => 'propertyId' in was || 'systemId' in was || 'followsTestId' in was)
    await moveTests(
      tx,
      act,
      moved.map(({ id, was }) => ({ id, ...was })),
      reason,
    )
  },
}
