import { readFileSync } from 'node:fs'
import { basename } from 'node:path'
import { filesUnder } from '../prepare.mjs'

/** Words that must not stand in some rooms, because they hide a clock, chance, waiting or an injection. */
const rules = [
  { where: /^src\/domain\//, what: /\bnew Date\(|\bDate\.now\b/, because: 'the domain has no clock' },
  { where: /^src\/domain\//, what: /\bMath\.random\b|\bcrypto\b/, because: 'the domain leaves nothing to chance' },
  { where: /^src\/domain\//, what: /\bprocess\./, because: 'the domain knows no process' },
  { where: /^src\/domain\//, what: /\basync\b|\bawait\b|\bPromise\b/, because: 'the domain waits for nothing' },
  { where: /^src\//, what: /\b(TODO|FIXME|XXX)\b/, because: 'what is not done is not in the code' },
  { where: /^src\//, what: /\$(queryRawUnsafe|executeRawUnsafe)\b/, because: 'no string-built SQL' },
  {
    where: /^src\/(?!ops\/|platform\/db\/(client|alone)|platform\/jobs\/patient-pool)/,
    what: /\.query\(/,
    because: 'SQL goes through named statements',
  },
  {
    where: /^src\/(?!ops\/|platform\/(clock|ids|log)\.ts|platform\/config|main\.ts|cli\.ts)/,
    what: /\bDate\.now\(\)|\bnew Date\(\)/,
    because: 'business time is the clock that is passed in',
  },
  {
    where: /^src\/(?!ops\/|platform\/config|main\.ts|cli[./])/,
    what: /\bprocess\.env\b/,
    because: 'settings come from config',
  },
]

export async function forbidden() {
  return [...filesUnder('src'), ...filesUnder('seed')].filter(isSource).flatMap(file => {
    const text = readFileSync(file, 'utf8')
    return [...linesAgainstRules(file, text), ...stringBuiltSql(file, text), ...badNames(file)]
  })
}

const isSource = file => /(?<!\.d)\.tsx?$/.test(file)

function linesAgainstRules(file, text) {
  const applicable = rules.filter(rule => rule.where.test(file))
  return text.split('\n').flatMap((line, index) => {
    const code = line.replace(/^\s*(\*|\/\*|\/\/).*/, '').replace(/\s\/\/ .*/, '')
    const broken = applicable.filter(rule => rule.what.test(code))
    return broken.map(rule => `${file}:${index + 1}: ${rule.because}: ${line.trim()}`)
  })
}

/** A statement may be put together from constant pieces of its own file, never from a value of a request. */
function stringBuiltSql(file, text) {
  const statements = text.matchAll(/\bsql\(\s*['"`][^'"`]*['"`],\s*`([^`]*)`/g)
  return [...statements].flatMap(({ index, 1: statement }) => {
    if (isMaker(text.slice(0, index))) return []
    const pieces = [...statement.matchAll(/\$\{([^}]*)\}/g)].map(([, piece]) => piece.trim())
    const doubtful = pieces.filter(piece => !isConstant(piece, text))
    return doubtful.map(piece => `${file}: SQL is put together from \${${piece}}, which is no constant piece of it`)
  })
}

/** What makes several statements from one pattern, for a closed list of literals, bears the name …Statement(s). */
const isMaker = before =>
  /Statements?\b/.test(
    before
      .split('\n')
      .slice(-7)
      .join('\n')
      .match(/\b\w+(?= *[=(])/g)
      ?.join(' ') ?? '',
  )

/** A constant of the file or an imported one, or a piece made from literals only, such as visible('t.property_id', 2). */
function isConstant(piece, text) {
  if (/^[A-Za-z]\w*\((\s*('[^']*'|\d+|true|false)\s*,?)*\)$/.test(piece)) return true
  const declared = new RegExp(`^(export )?const ${piece}\\b`, 'm')
  const imported = new RegExp(`^import \\{[^}]*\\b${piece}\\b[^}]*\\} from`, 'm')
  return /^[A-Za-z]\w*$/.test(piece) && (declared.test(text) || imported.test(text))
}

function badNames(file) {
  const name = basename(file).replace(/\.tsx?$/, '')
  if (!/^[a-z0-9]+(-[a-z0-9]+)*$/.test(name)) return [`${file}: file names are kebab-case`]
  return /(^|-)(helpers?|utils?|services?|managers?)$/.test(name)
    ? [`${file}: the name does not say what it gives`]
    : []
}
