import { restandHomes } from '../../src/standing/restand.ts'
import type { Finding } from '../rig/finding.ts'
import { manyHomes } from '../rig/many-homes.ts'
import type { Bench } from '../rig/measure.ts'
import { act, open, settled } from '../rig/open.ts'
import { ratioOf, rounds } from '../rig/rounds.ts'
import { served, writes } from '../rig/served.ts'
import { spreadOf } from '../rig/spread.ts'

/** One fact of a home written over HTTP, with its key, trace, feed and standing, against an insert and its commit. */
export async function writing({ server }: Bench): Promise<Finding[]> {
  const url = await server.database()
  const db = open(url, 1)
  await settled(db)
  await manyHomes(url, 4000)
  const { rows } = await db.pool.query<{ id: string }>('select id from property')
  await db.transaction(tx =>
    restandHomes(
      tx,
      act,
      rows.map(({ id }) => id),
    ),
  )
  const paths = rows.map(({ id }) => `/v1/properties/${id}/events`)
  const event = { kind: 'renovation', at: '2026-01-02T15:00:00Z' }
  const product = await served('product', url)
  const bare = await served('bare', url)
  const written = async (work: () => unknown) => {
    const [before] = (await db.pool.query('select pg_current_wal_insert_lsn() as at')).rows
    const rate = Number(await work())
    const [after] = (
      await db.pool.query('select pg_wal_lsn_diff(pg_current_wal_insert_lsn(), $1) as bytes', [before.at])
    ).rows
    return { rate, bytes: Number(after.bytes) / (rate * 2) }
  }
  const logged: Record<'product' | 'bare', number[]> = { product: [], bare: [] }
  const measured = (name: 'product' | 'bare', work: () => unknown) => async () => {
    const { rate, bytes } = await written(work)
    logged[name].push(bytes)
    return rate
  }
  const rate = await rounds({
    // Homes of their own: what the quick one writes would be the other's to reckon with. So many that most writes are
    // the first of their home.
    product: measured('product', writes(product, paths.slice(200), event)),
    bare: measured('bare', writes(bare, paths.slice(0, 200), event)),
  })
  for (const { close } of [product, bare]) close()
  await db.close()
  const shown = (name: keyof typeof rate) => `${spreadOf(rate[name]).median.toFixed(0)}/s`
  const against = 'bare Fastify, INSERT and COMMIT'
  const what = 'a fact with key, trace, feed and standing'
  return [
    {
      row: 'P13',
      what,
      against,
      figure: ratioOf(rate.product, rate.bare),
      aim: { atLeast: 0.4 },
      note: `${shown('product')} of ${shown('bare')}`,
    },
    {
      row: 'P13',
      what: 'log written for it',
      against,
      figure: ratioOf(logged.product.slice(1), logged.bare.slice(1)),
      aim: { atMost: 4 },
      note: `${spreadOf(logged.product).median.toFixed(0)} bytes`,
    },
  ]
}
