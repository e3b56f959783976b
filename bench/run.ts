// npm run bench [-- name …] [-- --full]: measures, prints each figure with the aim beside it, keeps them dated; those of full runs are
// part of the repository.
import { mkdirSync, writeFileSync } from 'node:fs'
import { cpus } from 'node:os'
import { join } from 'node:path'
import { measures } from './measures.ts'
import { aDatabaseServer } from './rig/database-server.ts'
import { type Finding, table } from './rig/finding.ts'
import type { Bench } from './rig/measure.ts'

const named = process.argv.slice(2).filter(argument => !argument.startsWith('--'))
const unknown = named.filter(name => !(name in measures))
if (unknown.length > 0)
  console.log(`There is no measure ${unknown.join(', ')}; there are ${Object.keys(measures).join(', ')}.`)
else await measure(named.length > 0 ? named : Object.keys(measures))

async function measure(names: readonly string[]): Promise<void> {
  const bench: Bench = { server: await aDatabaseServer(), full: process.argv.includes('--full') }
  const findings: Finding[] = []
  const failed: string[] = []
  for (const name of names) {
    const begun = performance.now()
    try {
      const found = await measures[name]!(bench)
      findings.push(...found)
      console.log(`\n${name}, ${((performance.now() - begun) / 1000).toFixed(0)} s\n${table(found)}`)
    } catch (error) {
      failed.push(name)
      console.error(`\n${name} could not be measured:`, error)
    }
  }
  await bench.server.close()
  keep(bench, findings, failed)
  // A measure that failed leaves servers behind, which end with this process.
  process.exit()
}

function keep(bench: Bench, findings: readonly Finding[], failed: readonly string[]): void {
  const folder = join(import.meta.dirname, 'results')
  mkdirSync(folder, { recursive: true })
  const at = new Date().toISOString()
  const file = join(folder, `${bench.full ? 'full-' : ''}${at.slice(0, 19).replaceAll(':', '-')}.json`)
  const machine = { node: process.version, cpu: cpus()[0]?.model, cores: cpus().length }
  writeFileSync(file, `${JSON.stringify({ at, full: bench.full, ...machine, failed, findings }, null, 2)}\n`)
  console.log(`\nKept in ${file}`)
}
