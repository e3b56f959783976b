// npm run bench: measures against a peer in the same run, prints the ratios with their aims, keeps them in bench/results/.
// Names choose among the measures; --full runs at 100,000 and 1,000,000 rows. A figure that misses its aim is no failure.
import { spawnSync } from 'node:child_process'
import { prepare } from './prepare.mjs'

prepare({ tools: true })
spawnSync(process.execPath, ['--expose-gc', '--import', 'tsx', 'bench/run.ts', ...process.argv.slice(2)], {
  env: { ...process.env, TZ: 'UTC', NODE_ENV: 'production' },
  stdio: 'inherit',
})
