// What every command needs before it can run, on a bare clone with Node and npm only: packages, build.
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import {
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, extname, join, sep } from 'node:path'

export const root = dirname(import.meta.dirname)
process.chdir(root)

/**
 * The tests carry a second Node, and npm links it where its scripts look first: they would quietly run on that one.
 * Takes the link away and, if already misled, starts again on the Node that npm itself runs on.
 */
export function useOwnNode() {
  rmSync('node_modules/.bin/node', { force: true })
  const own = process.env.npm_node_execpath
  if (!process.execPath.includes(`node_modules${sep}node-`) || !own || own === process.execPath) return
  const { status } = spawnSync(own, process.argv.slice(1), { stdio: 'inherit' })
  process.exit(status ?? 1)
}

/** Ends with a sentence when Node is older or newer than what the program is tested on. */
export function requireNode() {
  const [major, minor] = process.versions.node.split('.').map(Number)
  const good = (major === 20 && minor >= 19) || (major > 20 && major < 25)
  if (!good) fail(`Underslab needs Node 20.19 to 24; this is Node ${process.versions.node}. See https://nodejs.org`)
}

/**
 * Installs the packages of the lock file unless exactly these are there: those of the program, and those of tests and
 * tools where they are asked for or were installed before.
 */
export function installPackages({ tools }) {
  const wanted = [...packagesIn('package-lock.json')]
  const there = packagesIn('node_modules/.package-lock.json')
  const missing = wanted.filter(
    ([path, { version, optional }]) => there.get(path)?.version !== version && !(optional && !there.has(path)),
  )
  if (missing.every(([, { dev }]) => dev && !tools)) return
  console.log('Installing packages …')
  const whole = tools || wanted.some(([path, { dev }]) => dev && there.has(path))
  // What a running start uses must stay where it is: only what the tests need beside it is added.
  const adds = there.size > 0 && missing.every(([, { dev }]) => dev)
  const how = [...(adds ? ['install', '--no-save'] : ['ci']), whole ? '--include=dev' : '--omit=dev']
  run(npm, [...how, '--no-audit', '--no-fund', '--loglevel=error'], 'The packages could not be installed')
  rmSync('node_modules/.bin/node', { force: true })
}

function packagesIn(lockFile) {
  if (!existsSync(lockFile)) return new Map()
  const { packages } = JSON.parse(readFileSync(lockFile, 'utf8'))
  return new Map(Object.entries(packages).filter(([path, { link }]) => path !== '' && !link))
}

/** Compiles to dist/ unless dist/ is made from these very sources; whole or not at all. */
export function build() {
  const sources = [...filesUnder('src'), ...filesUnder('seed')]
  const wanted = hashOf(
    [...sources, 'tsconfig.json', 'tools/tsconfig.build.json'].map(file => `${file} ${readFileSync(file, 'base64')}`),
  )
  if (existsSync('dist/.made-from') && readFileSync('dist/.made-from', 'utf8') === wanted) return
  const next = `dist.${process.pid}`
  const compiler = ['node_modules/ts7/bin/tsc', '-p', 'tools/tsconfig.build.json', '--noCheck', '--outDir', next]
  run(process.execPath, compiler, 'The program could not be built')
  for (const file of sources.filter(file => !['.ts', '.tsx'].includes(extname(file)))) {
    mkdirSync(join(next, dirname(file)), { recursive: true })
    cpSync(file, join(next, file))
  }
  writeFileSync(join(next, '.made-from'), wanted)
  rmSync('dist', { recursive: true, force: true })
  renameSync(next, 'dist')
}

export function* filesUnder(folder) {
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = `${folder}/${entry.name}`
    if (entry.isDirectory()) yield* filesUnder(path)
    else if (statSync(path, { throwIfNoEntry: false })?.isFile()) yield path
  }
}

/** Runs a program to its end; on failure prints what it said and ends this one. */
export function run(program, args, failure, options = {}) {
  const { status, error, stdout, stderr } = spawnSync(program, args, {
    stdio: 'inherit',
    shell: program === 'npm.cmd',
    ...options,
  })
  if (status === 0) return
  process.stderr.write(`${stdout ?? ''}${stderr ?? ''}`)
  fail(`${failure}${error ? `: ${error.message}` : ''}.`)
}

/** All of it in the order needed; `tools` for what needs more than the program itself does. */
export function prepare({ tools = false } = {}) {
  useOwnNode()
  requireNode()
  const done = takeTurn()
  installPackages({ tools })
  build()
  done()
}

/** Two starts at once would install and build over each other: one does it, the other waits and finds it done. */
function takeTurn() {
  const mark = join(tmpdir(), `underslab-${hashOf([root]).slice(0, 16)}.preparing`)
  const drop = () => rmSync(mark, { force: true })
  for (let waited = 0; ; waited += 1) {
    try {
      writeFileSync(mark, String(process.pid), { flag: 'wx' })
      process.once('exit', drop)
      return drop
    } catch (error) {
      if (error.code !== 'EEXIST') throw error
    }
    const holder = holderOf(mark)
    if (holder !== null && !isAlive(holder)) drop()
    else if (waited === 20) console.log('Another start is preparing the program; waiting for it …')
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 100)
  }
}

/** The number of the process that prepares; null while it is being written, or has just been taken away. */
function holderOf(mark) {
  return existsSync(mark) ? Number(readFileSync(mark, 'utf8')) || null : null
}

function isAlive(pid) {
  try {
    return process.kill(pid, 0)
  } catch (error) {
    return error.code === 'EPERM'
  }
}

export function fail(sentence) {
  console.error(sentence)
  process.exit(1)
}

const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm'

function hashOf(parts) {
  const hash = createHash('sha256')
  for (const part of parts) hash.update(part).update('\0')
  return hash.digest('hex')
}
