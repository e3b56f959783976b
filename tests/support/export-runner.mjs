// A process of its own that writes an export or reads one in, and says how much memory it took at most.
// node export-runner.mjs export|import FILE; the database from DATABASE_URL.
import { createWriteStream } from 'node:fs'

const program = file => import(`${process.env.PROGRAM}/src/${file}`)
const [way, file] = process.argv.slice(2)
const url = process.env.DATABASE_URL
const now = Number(process.env.NOW)

if (way === 'export') {
  const { takeExport } = await program('ops/export/take-export.js')
  const taken = await takeExport(url, { now, caution: 'Caution.' })
  await taken.writeInto(createWriteStream(file))
} else {
  const { importExport } = await program('ops/export/import-export.js')
  const { settleExport } = await program('intake/settle-export.js')
  const act = { actor: { kind: 'operator', id: null }, now, requestId: 'rig' }
  await importExport(url, file, (tx, { takenAt }) => settleExport(tx, act, Date.parse(takenAt)))
}
console.log(process.resourceUsage().maxRSS * 1024)
