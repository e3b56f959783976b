import type { Finding } from '../rig/finding.ts'
import { manyHomes } from '../rig/many-homes.ts'
import type { Bench } from '../rig/measure.ts'
import { open, settled } from '../rig/open.ts'
import { ratioOf, rounds } from '../rig/rounds.ts'
import { load, served } from '../rig/served.ts'
import { spreadOf } from '../rig/spread.ts'

const against = 'bare Fastify, one prepared statement, same bytes'

/** One system record and a list of them over HTTP: token, scope, permission, audit line, ETag. */
export async function records({ server }: Bench): Promise<Finding[]> {
  const url = await server.database()
  const db = open(url, 1)
  await settled(db)
  await manyHomes(url, 1000)
  const { id } = (await db.pool.query('select id from system limit 1 offset 500')).rows[0]
  await db.close()
  const path = `/v1/systems/${id}`
  const product = await served('product', url)
  const silent = await served('product-without-audit', url)
  const bare = await served('bare', url)
  const known = await served('bare-with-token', url)
  const loads = {
    product: load(product, path, 200),
    unchanged: load(product, path, 304, { 'if-none-match': '"1"' }),
    silent: load(silent, path, 200),
    bare: load(bare, path, 200),
    known: load(known, path, 200),
    list: load(product, '/v1/systems?limit=50', 200),
    bareList: load(bare, '/v1/systems?limit=50', 200),
  }
  const rate = await rounds({
    product: loads.product.perSecond,
    unchanged: loads.unchanged.perSecond,
    silent: loads.silent.perSecond,
    bare: loads.bare.perSecond,
    known: loads.known.perSecond,
    list: loads.list.perSecond,
    bareList: loads.bareList.perSecond,
  })
  for (const { close } of [product, silent, bare, known]) close()
  const shown = (name: keyof typeof rate) => `${spreadOf(rate[name]).median.toFixed(0)}/s`
  return [
    {
      row: 'P01',
      what: 'system record',
      against,
      figure: ratioOf(rate.product, rate.bare),
      aim: { atLeast: 0.65 },
      note: `${shown('product')} of ${shown('bare')}`,
    },
    {
      row: 'P01',
      what: 'system record without its audit line',
      against,
      figure: ratioOf(rate.silent, rate.bare),
      aim: { atLeast: 0.8 },
      note: shown('silent'),
    },
    {
      row: 'P01',
      what: 'system record, p99',
      against: 'p99 of the same peer',
      figure: ratioOf(loads.product.p99, loads.bare.p99),
      aim: { atMost: 2 },
    },
    {
      row: 'P02',
      what: 'unchanged, 304',
      against: 'the 200',
      figure: ratioOf(rate.unchanged, rate.product),
      aim: { atLeast: 2 },
      note: shown('unchanged'),
    },
    {
      row: 'P03',
      what: 'list of 50 systems',
      against: 'bare Fastify, one prepared statement, same rows',
      figure: ratioOf(rate.list, rate.bareList),
      aim: { atLeast: 0.6 },
      note: `${shown('list')} of ${shown('bareList')}`,
    },
    {
      row: 'P15',
      what: 'token check',
      against: 'same route without',
      figure: ratioOf(rate.known, rate.bare),
      aim: { atLeast: 0.85 },
      note: shown('known'),
    },
  ]
}
