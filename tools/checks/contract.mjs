import { existsSync, readFileSync } from 'node:fs'
import { contractText } from '../write-openapi.mjs'
import { problemsOf } from './program.mjs'

const file = 'openapi/openapi.json'

/** The committed API document is the one that the program serves, and a linter finds nothing in it. */
export async function contract() {
  const committed = existsSync(file) ? readFileSync(file, 'utf8') : ''
  const served = await contractText()
  const drift = committed === served ? [] : [`${file} is not what the program serves: node tools/write-openapi.mjs`]
  return [...drift, ...(await problemsOf('@redocly/cli/bin/cli.js', 'lint', file, '--config', 'tools/redocly.yaml'))]
}
