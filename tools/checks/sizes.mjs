import { readFileSync } from 'node:fs'
import { filesUnder } from '../prepare.mjs'

const budget = { median: 80, p95: 250, most: 400 }

/** Prints how long files are, so that drift shows. None may be longer than the budget. */
export async function sizes() {
  const files = ['src', 'seed', 'tools', 'bench', 'tests'].flatMap(folder => [...filesUnder(folder)])
  const measured = files
    .filter(file => /\.(tsx?|mjs|cjs)$/.test(file))
    .map(file => ({ file, ...measure(readFileSync(file, 'utf8')) }))
  const lengths = measured.map(({ lines }) => lines).sort((a, b) => a - b)
  const at = share => lengths[Math.min(lengths.length - 1, Math.floor(lengths.length * share))]
  const source = measured.filter(({ file }) => file.startsWith('src/'))
  const comments = sum(source, 'comments') / sum(source, 'lines')
  console.log(
    `   ${measured.length} files, median ${at(0.5)} lines (budget ${budget.median}), 95 % within ${at(0.95)} (${budget.p95}), ` +
      `longest ${lengths.at(-1)} (${budget.most}); comments in src ${(comments * 100).toFixed(1)} %`,
  )
  return [
    ...measured
      .filter(({ lines }) => lines > budget.most)
      .map(({ file, lines }) => `${file}: ${lines} lines, over ${budget.most}`),
    ...(at(0.5) > budget.median ? [`the median file has ${at(0.5)} lines, over ${budget.median}`] : []),
    ...(at(0.95) > budget.p95 ? [`5 % of files have over ${at(0.95)} lines, budget ${budget.p95}`] : []),
  ]
}

function measure(text) {
  const lines = text.trimEnd().split('\n')
  const comments = lines.filter(line => /^\s*(\/\/|\/\*|\*)/.test(line)).length
  return { lines: lines.length, comments }
}

const sum = (items, key) => items.reduce((total, item) => total + item[key], 0)
