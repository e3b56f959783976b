import { defineConfig } from 'vitest/config'

const long = process.env.UNDERSLAB_LONG === '1'

/**
 * These start no process and leave nothing behind in theirs: they share one, so that the program is loaded once and not
 * for each file.
 */
const sharing = ['api', 'intake', 'jobs', 'standing', 'web'].map(folder => `tests/${folder}/**/*.test.{ts,tsx}`)

/** Looks back on the answers of all other tests, so it comes last. */
const contract = 'tests/api/contract.test.ts'

const common = {
  env: { TZ: 'UTC', NODE_ENV: 'test' },
  pool: 'forks',
  maxWorkers: 2,
  testTimeout: long ? 1_800_000 : 60_000,
  hookTimeout: 120_000,
} as const

export default defineConfig({
  test: {
    projects: [
      { test: { ...common, name: 'domain', include: ['tests/domain/**/*.test.ts'] } },
      {
        test: {
          ...common,
          name: 'service',
          isolate: false,
          include: sharing,
          exclude: [contract],
          globalSetup: ['tests/support/global-setup.ts'],
        },
      },
      {
        test: {
          ...common,
          name: 'process',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: ['tests/domain/**', ...sharing, contract],
          globalSetup: ['tests/support/global-setup.ts'],
        },
      },
      { test: { ...common, name: 'contract', include: [contract], sequence: { groupOrder: 1 } } },
    ],
  },
})
