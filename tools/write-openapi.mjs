// Writes openapi/openapi.json: the API document exactly as the built program serves it. Checked for drift by `check`.
import { mkdirSync, writeFileSync } from 'node:fs'
import { pathToFileURL } from 'node:url'
import { prepare } from './prepare.mjs'

/** The document's text. No database is needed: nothing is asked of it. */
export async function contractText() {
  const { buildApp } = await import('../dist/src/app.js')
  const { settingsOf } = await import('../dist/src/ops/local-settings.js')
  const { openDatabase } = await import('../dist/src/platform/db/client.js')
  const { createLog } = await import('../dist/src/platform/log.js')
  const { generateKeyPairSync } = await import('node:crypto')

  const signing = generateKeyPairSync('ed25519').privateKey.export({ format: 'jwk' })
  const variables = {
    DATABASE_URL: 'postgresql://nobody@127.0.0.1:1/none',
    PUBLIC_URL: 'https://underslab.example',
    SESSION_SECRET: 'x'.repeat(43),
    LINK_KEY: 'y'.repeat(43),
    TOKEN_SIGNING_KEY: JSON.stringify(signing),
  }
  const config = settingsOf({ variables, close: async () => {} })
  const log = createLog('silent')
  const db = openDatabase({ url: config.databaseUrl, log })
  const mail = { send: async () => ({ outcome: 'held' }) }
  const app = await buildApp({ db, config, log, mail, clock: { now: () => 0 }, jobs: { enqueue: async () => {} } })
  const answer = await app.inject({ url: '/openapi.json' })
  await app.close()
  await db.close()
  if (answer.statusCode !== 200) throw new Error(`/openapi.json answered ${answer.statusCode}: ${answer.body}`)
  return `${JSON.stringify(answer.json(), null, 2)}\n`
}

if (import.meta.url === pathToFileURL(process.argv[1]).href) {
  prepare({ tools: true })
  mkdirSync('openapi', { recursive: true })
  writeFileSync('openapi/openapi.json', await contractText())
  console.log('openapi/openapi.json')
}
