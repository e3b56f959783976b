import { afterEach, beforeAll, beforeEach, expect, it } from 'vitest'
import { commitHomesJob } from '../../src/intake/commit-homes-job.ts'
import { takeUpImports, writeAlone } from '../../src/intake/take-up-imports.ts'
import type { Database } from '../../src/platform/db/client.ts'
import { workOnce } from '../../src/platform/jobs/queue.ts'
import { builtProgram } from '../support/built-program.ts'
import { anOpenDatabase } from '../support/database.ts'
import { aWorker, homesTable, now, toBeWritten } from '../support/imported-homes.ts'
import { withShippedPolicies } from '../support/laws-in-database.ts'
import { aLog } from '../support/log.ts'
import { aCompany } from '../support/rows.ts'
import { figures, long, size } from '../support/scale.ts'
import { sqlSteps } from '../support/steps.ts'
import { aTcpProxy } from '../support/tcp-proxy.ts'

/** A few rounds of statements; or a large company's book. */
const homes = size(450, 12_000)
const megabyte = 1 << 20
/** A table is held packed while it is written, some hundred bytes a home; the rest is the garbage collector's leave. */
const allowed = 96 * megabyte

let db: Database
let url: string
let close: () => Promise<void>

beforeAll(() => void builtProgram())
beforeEach(async () => {
  ;({ db, url, close } = await anOpenDatabase())
  await aCompany(db.pool)
  await withShippedPolicies(db, { actor: { kind: 'operator', id: null }, now, requestId: 'rig' })
})
afterEach(() => close())

/** Every table that an import of homes writes to, counted; what was taken back does not count. */
async function onRecord() {
  const tables = ['property', 'customer', 'ownership', 'system', 'test']
  const counts = tables.map(table => `(select count(*)::int from ${table} where voided_at is null) as "${table}"`)
  return (await db.pool.query(`select ${counts.join(', ')}`)).rows[0]
}
const each = (n: number) => ({ property: n, customer: n, ownership: n, system: n, test: n })
const batch = async (id: string) =>
  (await db.pool.query('select state, failure, summary from import_batch where id = $1', [id])).rows[0]

/** Writes an import as a worker of the background does. */
const written = (id: string): Promise<void> =>
  commitHomesJob({ db, log: aLog('silent').log, clock: { now: () => now } })(
    { importId: id, actor: { kind: 'operator', id: null } },
    'rig',
  )

/** Lets a run come as far as the statement that `stopAt` says yes to, which the database never sees, and kills it with -9. */
async function killedAt(
  id: string,
  stopAt: (statement: string, progressTold: number) => boolean,
  way: 'write' | 'work' = 'write',
): Promise<boolean> {
  const proxy = await aTcpProxy(Number(new URL(url).port))
  const proxied = new URL(url)
  proxied.port = String(proxy.port)
  const run = aWorker(way, id, proxied.href)
  let told = 0
  let killed = false
  proxy.watch(
    sqlSteps(statement => {
      if (statement.startsWith('insert into import_progress')) told++
      if (!killed && stopAt(statement, told)) killed = run.child.kill('SIGKILL')
      return !killed
    }),
  )
  await run.done.catch(() => {})
  proxy.cut()
  await proxy.close()
  return killed
}

it('F18: killed with -9 at half, and at the very commit, it has saved nothing, and a run begun again saves all of it once', async () => {
  const id = await toBeWritten(db, homesTable(homes))
  const half = 1 + Math.ceil(homes / 200 / 2)
  const killedWhen = [
    (_: string, told: number) => told > half,
    (statement: string, told: number) => told > half && statement === 'commit',
  ]
  for (const when of killedWhen) {
    expect(await killedAt(id, when)).toBe(true)
    expect(await onRecord()).toEqual(each(0))
    expect(await batch(id)).toMatchObject({ state: 'committing' })
  }
  await written(id)
  expect(await onRecord()).toEqual(each(homes))
  expect(await batch(id)).toMatchObject({ state: 'committed', summary: { made: homes, same: 0 } })
  // The queue may hand the job out once more.
  await written(id)
  expect(await onRecord()).toEqual(each(homes))
})

/** What a process that starts does: looks for imports whose writer is gone, and works what the queue hands out. */
async function startedAnew() {
  const { log } = aLog('silent')
  await takeUpImports({ db, log })
  await workOnce(db, { 'commit-homes': commitHomesJob({ db, log, clock: { now: () => now } }) }, log)
}
const aMinuteLater = () =>
  db.pool.query("update graphile_worker._private_jobs set locked_at = locked_at - interval '1 minute'")

it('F18: killed with -9 at half, the process that starts next takes it up by itself, and it is written once', async () => {
  const id = await toBeWritten(db, homesTable(homes))
  const half = 1 + Math.ceil(homes / 200 / 2)
  expect(await killedAt(id, (_, told) => told > half, 'work')).toBe(true)
  await aMinuteLater()
  await startedAnew()
  expect(await batch(id)).toMatchObject({ state: 'committed', summary: { made: homes, same: 0 } })
  expect(await onRecord()).toEqual(each(homes))
  await startedAnew()
  expect(await onRecord()).toEqual(each(homes))
})

it('F18: an import that somebody is writing, however long, is not taken up and not begun a second time', async () => {
  const id = await toBeWritten(db, homesTable(homes))
  await db.pool.query(
    "update graphile_worker._private_jobs set locked_by = 'elsewhere', locked_at = now() - interval '2 hours'",
  )
  const wasFree = await writeAlone(db, id, async () => {
    await startedAnew()
    expect(await onRecord()).toEqual(each(0))
    await expect(written(id)).rejects.toThrow('another process is writing this import')
  })
  expect(wasFree).toBe(true)
  expect(await batch(id)).toMatchObject({ state: 'committing' })
  await startedAnew()
  expect(await onRecord()).toEqual(each(homes))
})

it('F18: stopped at half it leaves nothing and says so, and nobody need be watching while it is written', async () => {
  const id = await toBeWritten(db, homesTable(homes))
  await db.pool.query(
    `create function stop_at_half() returns trigger language plpgsql as
       $$ begin if new.total > 0 and new.done * 2 >= new.total then new.stop_asked := true; end if; return new; end $$;
     create trigger stop_at_half before update on import_progress for each row execute function stop_at_half()`,
  )
  await written(id)
  expect(await onRecord()).toEqual(each(0))
  expect(await batch(id)).toMatchObject({ state: 'proposed', failure: 'It was stopped; nothing was saved.' })
})

it('F18: the same file twice at once is one book', async () => {
  const table = homesTable(homes)
  const ids = [await toBeWritten(db, table), await toBeWritten(db, table)]
  await Promise.all(ids.map(written))
  expect(await onRecord()).toEqual(each(homes))
  const made = await Promise.all(ids.map(async id => (await batch(id)).summary))
  expect(made.map(({ made: n, same }) => [n, same]).sort()).toEqual([
    [0, homes],
    [homes, 0],
  ])
})

it('F19: two tables at once that share a third of their homes: one waits for the other, and each home is taken up once', async () => {
  const step = Math.floor(homes / 3)
  const ids = [await toBeWritten(db, homesTable(2 * step)), await toBeWritten(db, homesTable(2 * step, step))]
  await Promise.all(ids.map(written))
  expect(await onRecord()).toEqual(each(3 * step))
  const made = await Promise.all(ids.map(async id => (await batch(id)).summary))
  expect(made.map(({ made: n, same }) => [n, same]).sort((a, b) => a[0] - b[0])).toEqual([
    [step, step],
    [2 * step, 0],
  ])
})

it.runIf(long)('a large book is written and undone in little more memory than a small one', async () => {
  const small = await toBeWritten(db, homesTable(50, 50_000))
  const least = await aWorker('write', small, url).done
  const id = await toBeWritten(db, homesTable(homes))
  const [began, written] = [performance.now(), await aWorker('write', id, url).done]
  const [half, undone] = [performance.now(), await aWorker('undo', id, url).done]
  figures(`${homes} homes`, {
    'written in s': Math.round((half - began) / 1000),
    'undone in s': Math.round((performance.now() - half) / 1000),
    'more MB to write': Math.round((written - least) / megabyte),
    'more MB to undo': Math.round((undone - least) / megabyte),
  })
  expect(await onRecord()).toEqual(each(50))
  expect(written - least).toBeLessThan(allowed)
  expect(undone - least).toBeLessThan(allowed)
})
