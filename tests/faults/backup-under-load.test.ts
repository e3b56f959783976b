import { createHash } from 'node:crypto'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { loadDemo, type SignIn } from '../../seed/load-demo.ts'
import { piecesOf } from '../../src/ops/archive.ts'
import { writeBackup } from '../../src/ops/backup.ts'
import { restoreBackup } from '../../src/ops/restore.ts'
import { insertLinks } from '../../src/platform/auth/link-queries.ts'
import { linkTokenFor } from '../../src/platform/auth/link-token.ts'
import { restandHomes } from '../../src/standing/restand.ts'
import { anEmptyDatabase, type TestDatabase } from '../support/database.ts'
import { figures, seeded, size } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { testSecrets } from '../support/test-config.ts'
import { aVisitor } from '../support/visitor.ts'

const now = '2026-11-20T18:00:00Z'
const keys = { LINK_KEY: testSecrets.LINK_KEY }
const writers = 4

let source: TestApp
let folder: string
let signIns: readonly SignIn[]
let token: string
const restored: TestDatabase[] = []

beforeAll(async () => {
  source = await buildTestApp({ at: now, empty: true })
  folder = await mkdtemp(join(tmpdir(), 'under-load-'))
  signIns = await loadDemo(source.db, source.clock)
  const { rows } = await source.db.pool.query(
    `select property_id as "propertyId", customer_id as "customerId" from ownership
      where until_on is null and voided_at is null limit 1`,
  )
  const [linkId] = await source.db.transaction(tx =>
    insertLinks(tx, source.clock.now(), [{ ...rows[0], purpose: 'reminder' }]),
  )
  token = linkTokenFor(source.config.linkKeys, linkId!)
})
afterAll(async () => {
  await source.close()
  for (const database of restored) await database.drop()
  await rm(folder, { recursive: true, force: true })
})

/** Records tests at the demo's homes, each with all that follows from it, until told to stop. */
async function load() {
  const program = await source.as.app()
  const { rows: places } = await source.db.pool.query<{ id: string; home: string }>(
    'select id, property_id as home from test_location order by id',
  )
  let going = true
  let written = 0
  const refused: string[] = []
  const all = Promise.all(
    Array.from({ length: writers }, async (_, writer) => {
      const random = seeded(writer + 1)
      while (going) {
        const { id, home } = places[Math.floor(random() * places.length)]!
        const answer = await program.post(`/v1/properties/${home}/tests`, {
          purpose: 'follow-up',
          method: 'activated-charcoal',
          setAt: '2026-11-10T15:00:00Z',
          pickedUpAt: '2026-11-13T16:00:00Z',
          resultInAt: '2026-11-18T12:00:00Z',
          exposures: [
            {
              locationId: id,
              startAt: '2026-11-10T15:00:00Z',
              stopAt: '2026-11-13T16:00:00Z',
              result: { value: (1 + random() * 8).toFixed(1), unit: 'pCi/L' },
            },
          ],
        })
        if (answer.status === 201) written += 1
        else refused.push(`${answer.status} ${answer.text}`)
      }
    }),
  )
  return {
    written: () => written,
    refused,
    stop: () => {
      going = false
      return all
    },
  }
}

it('F24: each backup taken while others write is one instant: restored, every table is as it was and every standing follows from its facts', async () => {
  const work = await load()
  const files = Array.from({ length: size(2, 8) }, (_, n) => join(folder, `busy-${n}.tar.gz`))
  for (const file of files) {
    const before = work.written()
    await writeBackup(source.databaseUrl, file, keys, source.clock.now())
    figures('F24', { 'tests recorded during the backup': work.written() - before })
  }
  await work.stop()
  expect(work.refused).toEqual([])
  expect(work.written()).toBeGreaterThan(0)
  for (const file of files) {
    const target = await anEmptyDatabase()
    restored.push(target)
    await restoreBackup(target.url, file, keys)
    const again = join(folder, 'again.tar')
    await writeBackup(target.url, again, keys, source.clock.now())
    expect(await rowsIn(again)).toEqual(await rowsIn(file))
    const app = await buildTestApp({ at: now, databaseUrl: target.url })
    const kept = await standings(app)
    await app.db.pool.query('delete from test_evaluation')
    await app.db.transaction(tx =>
      restandHomes(
        tx,
        { now: app.clock.now() },
        kept.map(standing => standing.id),
      ),
    )
    expect(await standings(app)).toEqual(kept)
    expect(kept.length).toBeGreaterThan(12)
    await app.close()
  }
})

it('F24: in the restored database an old mailed link opens and people sign in with their passwords', async () => {
  const app = await buildTestApp({ at: now, databaseUrl: restored[0]!.url })
  const homeowner = aVisitor(app.app)
  const opened = await homeowner.get(`/h/${token}`)
  expect(opened.status).toBe(303)
  expect((await homeowner.get(String(opened.headers.location))).status).toBe(200)
  for (const { email, password } of signIns) {
    const person = aVisitor(app.app)
    await person.get('/sign-in')
    expect((await person.send('/sign-in', { email, password })).status).toBe(303)
  }
  await app.close()
})

const standings = async (app: TestApp) =>
  (
    await app.db.pool.query<{ id: string; body: string; evaluations: unknown }>(
      `select s.property_id as id, s.body,
         (select json_agg(v order by v.test_id) from test_evaluation v join test t on t.id = v.test_id
           where t.property_id = s.property_id and t.voided_at is null) as evaluations
       from standing s order by s.property_id`,
    )
  ).rows

/** Count and hash of each table's rows in an archive, put in order: how they lie in a table is nobody's concern. */
async function rowsIn(file: string): Promise<Record<string, string>> {
  const texts = new Map<string, Buffer[]>()
  for await (const { table, content } of piecesOf(file)) texts.set(table, [...(texts.get(table) ?? []), content])
  const found: Record<string, string> = {}
  for (const [table, pieces] of texts) {
    if (table.includes('_prisma_migrations')) continue
    const lines = Buffer.concat(pieces).toString('utf8').trimEnd().split('\n').sort()
    found[table] = `${lines.length} ${createHash('sha256').update(lines.join('\n')).digest('hex')}`
  }
  return found
}
