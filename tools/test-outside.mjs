// npm run test:outside: writes the workbooks under tests/outside/written/ anew with office programs that are not ours,
// then reads them as the tests do. The files are kept: npm test needs neither program.
import { spawnSync } from 'node:child_process'
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'
import { prepare } from './prepare.mjs'

const sources = 'tests/outside/sources'
const written = 'tests/outside/written'
const programs = {
  calc: { commands: ['soffice', 'libreoffice'], name: 'LibreOffice Calc', packages: 'libreoffice-calc' },
  gnumeric: { commands: ['ssconvert'], name: 'Gnumeric', packages: 'gnumeric' },
}

const calc = commandOf(programs.calc)
const gnumeric = commandOf(programs.gnumeric)
if (!calc || !gnumeric) {
  const missing = [!calc && programs.calc, !gnumeric && programs.gnumeric].filter(Boolean)
  for (const { name, commands, packages } of missing)
    console.error(
      `${name} is not here: no ${commands.join(' or ')} on the PATH. On Debian or Ubuntu: apt-get install -y --no-install-recommends ${packages}`,
    )
  console.error('Nothing was written; the kept workbooks are as they were.')
  process.exit(1)
}

prepare({ tools: true })
mkdirSync(written, { recursive: true })
const folder = mkdtempSync(join(tmpdir(), 'outside-'))
try {
  for (const name of ['homes', 'homes-1904']) {
    const source = join(sources, `${name}.fods`)
    inCalc('xlsx', source)
    copyFileSync(join(folder, `${name}.xlsx`), join(written, `calc-${name}.xlsx`))
    // Gnumeric reads no flat file, so that its own goes by way of an OpenDocument table.
    inCalc('ods', source)
    inGnumeric(join(folder, `${name}.ods`), join(written, `gnumeric-${name}.xlsx`))
  }
  inGnumeric(join(sources, 'list.csv'), join(written, 'gnumeric-list.xlsx'))
} finally {
  rmSync(folder, { recursive: true, force: true })
}
const { status } = spawnSync(
  process.execPath,
  ['node_modules/vitest/vitest.mjs', 'run', 'tests/intake/office-workbooks.test.ts'],
  {
    env: { ...process.env, TZ: 'UTC' },
    stdio: 'inherit',
  },
)
process.exitCode = status ?? 1

function inCalc(format, source) {
  // A profile of its own: an office program that is open already would take the job and convert nothing.
  run(calc, [
    `-env:UserInstallation=file://${folder}/profile`,
    '--headless',
    '--convert-to',
    format,
    '--outdir',
    folder,
    source,
  ])
}

function inGnumeric(source, target) {
  run(gnumeric, ['--export-type=Gnumeric_Excel:xlsx2', source, target])
}

function run(command, args) {
  const { status, stderr, error } = spawnSync(command, args, { encoding: 'utf8', timeout: 180_000 })
  if (status === 0) return
  throw new Error(`${command} ${args.join(' ')} failed: ${error?.message ?? stderr}`)
}

function commandOf({ commands }) {
  const folders = (process.env.PATH ?? '').split(delimiter)
  return commands.flatMap(name => folders.map(folder => join(folder, name))).find(file => existsSync(file))
}
