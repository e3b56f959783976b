import { foreseen, putRight, undo } from '../../src/putting-right/put-right.ts'
import { restandHomes } from '../../src/standing/restand.ts'
import type { Finding } from '../rig/finding.ts'
import { manyHomes } from '../rig/many-homes.ts'
import type { Bench } from '../rig/measure.ts'
import { act, open, settled } from '../rig/open.ts'
import { ratioOf, rounds, tookOf } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

/**
 * Two entries of one home, ten years of tests at each, become one, and are parted again; against standing both anew,
 * evaluations and all, which a merge does twice over: before it and after it.
 */
export async function merging({ server, full }: Bench): Promise<Finding[]> {
  const homes = full ? 100_000 : 2_000
  const url = await server.database()
  const db = open(url, 2)
  await settled(db)
  await manyHomes(url, homes)
  await db.pool.query('vacuum analyze')
  const { rows } = await db.pool.query<{ id: string }>('select id from property order by id limit 2')
  const both = rows.map(({ id }) => id)
  const asked = { kind: 'merge-homes', id: both[0]!, intoId: both[1]!, reason: 'Taken up twice' } as const
  let merged = ''
  const parted: number[] = []
  const merge = tookOf(async () => {
    merged = (await db.transaction(tx => putRight(tx, act, asked))).correction.id
  })
  const part = tookOf(() => db.transaction(tx => undo(tx, act, merged, 'They are two')))
  const took = await rounds(
    {
      foreseen: tookOf(() => foreseen(db, act, asked)),
      merged: async () => {
        const ms = await merge()
        parted.push(await part())
        return ms
      },
      stood: async () => {
        await db.pool.query(
          'delete from test_evaluation where test_id in (select id from test where property_id = any($1))',
          [both],
        )
        return tookOf(() => db.transaction(tx => restandHomes(tx, act, both)))()
      },
    },
    9,
  )
  await db.close()
  const against = 'standing both anew'
  const what = `two homes of ten years among ${homes.toLocaleString('en')}`
  const ms = (figures: readonly number[]) => `${spreadOf(figures).median.toFixed(0)} ms`
  return [
    {
      row: 'P08',
      what: `merging ${what}`,
      against,
      figure: ratioOf(took.merged, took.stood),
      aim: { atMost: 8 },
      note: ms(took.merged),
    },
    {
      row: 'P08',
      what: `what merging ${what} would change`,
      against,
      figure: ratioOf(took.foreseen, took.stood),
      note: ms(took.foreseen),
    },
    {
      row: 'P08',
      what: `parting them again`,
      against,
      figure: ratioOf(parted.slice(-9), took.stood),
      note: ms(parted.slice(-9)),
    },
  ]
}
