import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { join } from 'node:path'
import { text } from 'node:stream/consumers'
import { keepStarted, prepareImport } from '../../src/intake/start-import.ts'
import { jobs as schemas } from '../../src/jobs.ts'
import type { Database } from '../../src/platform/db/client.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { jobsFor } from '../../src/platform/jobs/queue.ts'
import { builtProgram } from './built-program.ts'

export const now = Date.parse('2026-11-27T15:00:00Z')
const act: Act = { actor: { kind: 'operator', id: null }, now, requestId: 'rig' }

const HEADER = 'Owner,Address,City,State,Zip,Phone,Fan,Fan serial,Installed,Start up (in wc),Post (pCi/L),Post date'
const STREETS = ['Foundry', 'Quay', 'Birch', 'Cedar', 'Harbor', 'Juniper', 'Kestrel', 'Larkspur', 'Meadow', 'Orchard']

/** A table of homes, each with its owner, system, fan and result; `from` is the first home's number. */
export const homesTable = (homes: number, from = 0): Buffer =>
  Buffer.from(
    [
      HEADER,
      ...Array.from({ length: homes }, (_, n) => {
        const i = from + n
        const address = `${1 + (i % 997)} ${STREETS[i % 10]} ${Math.floor(i / 997)} Street,Duluth,MN,55802`
        return `Ann Holm ${i},${address},218-${200 + (i % 700)}-${1000 + (i % 9000)},Gale 5,F-${i},spring ${2006 + (i % 18)},1.${i % 10},0.${1 + (i % 9)},4/15/${2008 + (i % 17)}`
      }),
    ].join('\n'),
  )

/** Brings a table in as far as the office does: looked at, and to be written in the background. */
export async function toBeWritten(db: Database, table: Buffer): Promise<string> {
  const started = await prepareImport(db, act, {
    file: { bytes: table, fileName: 'homes.csv', type: 'text/csv' },
    kind: 'homes-table',
    commit: { again: false },
  })
  const { id } = await db.transaction(tx => keepStarted(tx, act, jobsFor(schemas), started))
  return id
}

/** A table of 12,000 homes needs no more; what is never let go would end the process. */
const littleMemory = ['--max-old-space-size=96']

export type Worker = { readonly child: ChildProcess; readonly done: Promise<number> }

/** A process that writes an import, takes it back, or works what the queue hands out; `done` gives the most memory it took. */
export function aWorker(way: 'write' | 'undo' | 'work', importId: string, databaseUrl: string): Worker {
  const child = spawn(
    process.execPath,
    [...littleMemory, join(import.meta.dirname, 'homes-runner.mjs'), way, importId],
    {
      stdio: ['ignore', 'pipe', 'pipe'],
      env: {
        PATH: process.env.PATH,
        TZ: 'UTC',
        PROGRAM: builtProgram(),
        DATABASE_URL: databaseUrl,
        NOW: String(now),
      },
    },
  )
  const done = Promise.all([text(child.stdout), text(child.stderr), once(child, 'exit')]).then(
    ([said, complaint, [code]]) => {
      if (code !== 0) throw new Error(`it ended with ${code}: ${complaint}`)
      return Number(said)
    },
  )
  done.catch(() => {})
  return { child, done }
}
