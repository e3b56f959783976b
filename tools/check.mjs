// npm run check: everything that can be said of the program without running it. Closes with `N passed, N failed`.
import { mkdirSync } from 'node:fs'
import { contract } from './checks/contract.mjs'
import { escaping } from './checks/escaping.mjs'
import { forbidden } from './checks/forbidden.mjs'
import { imports } from './checks/imports.mjs'
import { migrations } from './checks/migrations.mjs'
import { problemsOf } from './checks/program.mjs'
import { sizes } from './checks/sizes.mjs'
import { prepare } from './prepare.mjs'

const checks = {
  types: () => problemsOf('ts7/bin/tsc', '--noEmit', '-p', 'tsconfig.json'),
  format: () => problemsOf('@biomejs/biome/bin/biome', 'ci', '--error-on-warnings', '.'),
  imports,
  forbidden,
  'dead code': () => problemsOf('knip/bin/knip.js', '--config', 'tools/knip.json', '--no-config-hints'),
  escaping,
  contract,
  migrations,
  sizes,
}

prepare({ tools: true })
mkdirSync('.test', { recursive: true })
const wanted = process.argv.slice(2)
let passed = 0
let failed = 0
const waiting = Object.entries(checks).filter(([name]) => wanted.length === 0 || wanted.includes(name))

/** Makes the checks that wait, one after the other. */
async function work() {
  for (let next = waiting.shift(); next; next = waiting.shift()) {
    const [name, check] = next
    const began = performance.now()
    const problems = await check().catch(error => [error.stack])
    const seconds = ((performance.now() - began) / 1000).toFixed(1)
    console.log(`${problems.length === 0 ? 'ok    ' : 'FAILED'} ${name} (${seconds} s)`)
    for (const problem of problems) console.log(problem.replace(/^/gm, '   '))
    if (problems.length === 0) passed += 1
    else failed += 1
  }
}

// Each is a program of its own, mostly on one core.
await Promise.all([work(), work()])
console.log(`${passed} passed, ${failed} failed`)
process.exitCode = failed === 0 ? 0 : 1
