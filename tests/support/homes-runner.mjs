// A process of its own that writes or takes back an import of homes, as a worker of the built program does, and says how
// much memory it took at most; or that works what the queue hands out. node homes-runner.mjs write|undo|work IMPORT; the
// database from DATABASE_URL.
const program = file => import(`${process.env.PROGRAM}/src/${file}`)
const { openDatabase } = await program('platform/db/client.js')
const { createLog } = await program('platform/log.js')

const [way, importId] = process.argv.slice(2)
const log = createLog('fatal')
const clock = { now: () => now }
const db = openDatabase({ url: process.env.DATABASE_URL, log, poolSize: 3 })
const now = Number(process.env.NOW)
const actor = { kind: 'operator', id: null }

if (way === 'write') {
  const { commitHomesJob } = await program('intake/commit-homes-job.js')
  await commitHomesJob({ db, log, clock })({ importId, actor }, 'rig')
} else if (way === 'work') {
  const { commitHomesJob } = await program('intake/commit-homes-job.js')
  const { workOnce } = await program('platform/jobs/queue.js')
  await workOnce(db, { 'commit-homes': commitHomesJob({ db, log, clock }) }, log)
} else {
  const { undoImport } = await program('intake/undo-import.js')
  const act = { actor, now, requestId: 'rig' }
  const { rows } = await db.pool.query('select version from import_batch where id = $1', [importId])
  await db.transaction(tx => undoImport(tx, act, importId, rows[0].version))
}
await db.close()
console.log(process.resourceUsage().maxRSS * 1024)
