import { type ChildProcess, spawn } from 'node:child_process'
import { join } from 'node:path'
import { builtProgram } from './built-program.ts'
import { eventually } from './eventually.ts'
import { freePort } from './postgres.ts'

const root = join(import.meta.dirname, '..', '..')

export type AppProcess = {
  readonly url: string
  readonly port: number
  readonly pid: number
  /** Everything it wrote, both streams. */
  readonly output: string
  readonly running: boolean
  /** Waits until `/readyz` says 200. */
  ready(deadlineMs?: number): Promise<void>
  kill(): Promise<void>
  /** SIGTERM; resolves with the exit code. */
  stop(): Promise<number | null>
  readonly exit: Promise<number | null>
}

type Options = {
  readonly databaseUrl: string
  readonly env?: Readonly<Record<string, string>>
  /** A built program that stands elsewhere; else the one built here. */
  readonly program?: string
  readonly port?: number
}

/** Starts the service as a child process of its own, with nothing but the environment to configure it. */
export async function startApp(options: Options): Promise<AppProcess> {
  const port = options.port ?? (await freePort())
  const program = options.program ?? join(builtProgram(), 'src/main.js')
  const child: ChildProcess = spawn(process.execPath, [program], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: {
      PATH: process.env.PATH,
      TZ: 'UTC',
      HOST: '127.0.0.1',
      PORT: String(port),
      DATABASE_URL: options.databaseUrl,
      ...options.env,
    },
  })
  let output = ''
  child.stdout?.on('data', (chunk: Buffer) => {
    output += chunk.toString()
  })
  child.stderr?.on('data', (chunk: Buffer) => {
    output += chunk.toString()
  })
  const exit = new Promise<number | null>(resolve => child.once('exit', code => resolve(code)))
  const running = () => child.exitCode === null && child.signalCode === null
  process.once('exit', () => child.kill('SIGKILL'))
  const url = `http://127.0.0.1:${port}`
  return {
    url,
    port,
    pid: child.pid ?? 0,
    exit,
    get output() {
      return output
    },
    get running() {
      return running()
    },
    async ready(deadlineMs = 30_000) {
      await eventually(async () => {
        if (!running()) return true
        const answer = await fetch(`${url}/readyz`, { signal: AbortSignal.timeout(2000) })
        return answer.status === 200
      }, deadlineMs)
      if (!running()) throw new Error(`The process ended before it was ready:\n${output}`)
    },
    async kill() {
      if (running()) child.kill('SIGKILL')
      await exit
    },
    async stop() {
      if (running()) child.kill('SIGTERM')
      return exit
    },
  }
}
