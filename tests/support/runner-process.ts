import { type ChildProcess, spawn } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { builtProgram } from './built-program.ts'
import { testFolder } from './postgres.ts'
import { testSecrets } from './test-config.ts'

export type Runner = {
  readonly child: ChildProcess
  readonly ended: Promise<number | null>
  kill(): void
  output(): string
}
export type RunnerRig = {
  readonly clockFile: string
  setClock(now: number): void
  /** Starts a process that works the reminders once, or again and again until it is killed. */
  start(mode: 'once' | 'loop', urls: { readonly database: string; readonly smtp: string }): Runner
}

export function runnerRig(name: string): RunnerRig {
  const clockFile = join(testFolder, `clock-${process.pid}-${name}`)
  return {
    clockFile,
    setClock: now => writeFileSync(clockFile, String(now)),
    start(mode, urls) {
      const child = spawn(process.execPath, [join(import.meta.dirname, 'reminder-runner.mjs'), mode], {
        stdio: ['ignore', 'pipe', 'pipe'],
        env: {
          PATH: process.env.PATH,
          TZ: 'UTC',
          NODE_ENV: 'test',
          ...testSecrets,
          PUBLIC_URL: 'http://127.0.0.1:8080',
          MAIL_FROM: 'office@clearwell.example',
          DATABASE_URL: urls.database,
          SMTP_URL: urls.smtp,
          CLOCK_FILE: clockFile,
          PROGRAM: builtProgram(),
        },
      })
      let output = ''
      for (const stream of [child.stdout, child.stderr])
        stream.on('data', (chunk: Buffer) => {
          output += chunk.toString()
        })
      const ended = new Promise<number | null>(resolve => child.once('exit', code => resolve(code)))
      return { child, ended, kill: () => void child.kill('SIGKILL'), output: () => output }
    },
  }
}
