import { defineConfig } from 'vitest/config'
import { LongestFirst } from './tests/support/longest-first.ts'

const long = process.env.UNDERSLAB_LONG === '1'

/** Looks back on the answers of all other tests, so it comes last. */
const contract = 'tests/api/contract.test.ts'

const common = {
  env: { TZ: 'UTC', NODE_ENV: 'test' },
  pool: 'forks',
  // One more than the cores of a small machine: many tests wait, for a time-out or for a process of their own.
  maxWorkers: 3,
  testTimeout: long ? 1_800_000 : 120_000,
  hookTimeout: 120_000,
} as const

export default defineConfig({
  test: {
    sequence: { sequencer: LongestFirst },
    projects: [
      { test: { ...common, name: 'domain', include: ['tests/domain/**/*.test.ts'] } },
      {
        test: {
          ...common,
          name: 'service',
          // What a file starts it ends, so the files of a worker share its process: the program is loaded once and not for each.
          isolate: false,
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: ['tests/domain/**', contract],
          globalSetup: ['tests/support/global-setup.ts'],
        },
      },
      { test: { ...common, name: 'contract', include: [contract], sequence: { groupOrder: 1 } } },
    ],
  },
})
