import { filesUnder } from '../prepare.mjs'
import { outputOfScript } from './program.mjs'

/** The table of who may import whom (tools/import-rules.cjs), no cycles, nothing unresolved. */
export async function imports() {
  const folders = ['src', 'seed', 'tests', 'bench']
  const args = ['--config', 'tools/import-rules.cjs', '--output-type', 'json', ...folders]
  const { stdout, stderr } = await outputOfScript('dependency-cruiser/bin/dependency-cruise.mjs', ...args)
  if (!stdout.startsWith('{')) return [stderr || stdout]
  const { modules, summary } = JSON.parse(stdout)
  const seen = new Set(modules.map(module => module.source))
  const sources = folders.flatMap(folder => [...filesUnder(folder)]).filter(isOurs)
  // With a compiler it cannot load, the tool sees no module at all and is content.
  const unseen = sources.filter(file => !seen.has(file))
  return [
    ...summary.violations.map(({ rule, from, to }) => `${rule.name}: ${from} → ${to}`),
    ...unseen.map(file => `not looked at: ${file}`),
  ]
}

const isOurs = file => /\.tsx?$/.test(file)
