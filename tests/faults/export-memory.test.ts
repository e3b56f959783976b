import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtemp, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { text } from 'node:stream/consumers'
import pg from 'pg'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { builtProgram } from '../support/built-program.ts'
import { aDatabase, type TestDatabase } from '../support/database.ts'
import { aCompany } from '../support/rows.ts'
import { figures, size } from '../support/scale.ts'

const megabyte = 1 << 20
const files = size(24, 200)
const revisions = size(60_000, 1_000_000)
/** The garbage collector's leave, not the data's: some hundred megabytes of records pass through. */
const allowed = 120 * megabyte

let folder: string
const made: TestDatabase[] = []

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'export-memory-'))
})
afterAll(async () => {
  await Promise.all(made.map(database => database.drop()))
  await rm(folder, { recursive: true, force: true })
})

async function database(): Promise<string> {
  const one = await aDatabase()
  made.push(one)
  return one.url
}

/** Kept files of 4 MB that cannot be compressed, and records of half a kilobyte. */
async function filled(counts: { files: number; revisions: number }): Promise<string> {
  const url = await database()
  const client = new pg.Client(url)
  await client.connect()
  await aCompany(client)
  await client.query(
    `insert into stored_file (sha256, bytes, size, media_type, name, created_at)
     select sha256(b), b, octet_length(b), 'image/jpeg', n || '.jpg', '2026-01-05Z'
       from (select string_agg(sha256(k::text::bytea), ''::bytea) as base from generate_series(1, 131072) k) noise,
         generate_series(1, $1::int) n, lateral (select sha256((n || ' ')::bytea) || base as b) made`,
    [counts.files],
  )
  await client.query(
    `insert into fact_revision (id, noun, noun_id, version, was, actor_kind, at)
     select gen_random_uuid(), 'customer', gen_random_uuid(), 1, jsonb_build_object('note', repeat(md5(n::text), 15)), 'operator',
       '2026-01-05Z' from generate_series(1, $1::int) n`,
    [counts.revisions],
  )
  await client.end()
  return url
}

async function memoryOf(way: 'export' | 'import', url: string, file: string): Promise<number> {
  const runner = join(import.meta.dirname, '..', 'support', 'export-runner.mjs')
  const child = spawn(process.execPath, ['--max-old-space-size=96', runner, way, file], {
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { PATH: process.env.PATH, TZ: 'UTC', PROGRAM: builtProgram(), DATABASE_URL: url, NOW: '1772463600000' },
  })
  const [said, complaint, [code]] = await Promise.all([text(child.stdout), text(child.stderr), once(child, 'exit')])
  expect({ code, complaint }).toEqual({ code: 0, complaint: '' })
  return Number(said)
}

it('takes no more memory for a large company than for one without records, out and in again', async () => {
  const [small, large] = [join(folder, 'small.zip'), join(folder, 'large.zip')]
  const source = await filled({ files, revisions })
  const took = {
    outSmall: await memoryOf('export', await filled({ files: 0, revisions: 0 }), small),
    outLarge: await memoryOf('export', source, large),
    inSmall: await memoryOf('import', await database(), small),
    inLarge: await memoryOf('import', await database(), large),
  }
  figures('memory of an export, MB', Object.fromEntries(Object.entries(took).map(([of, n]) => [of, n >> 20])))
  expect((await stat(large)).size).toBeGreaterThan(files * 4 * megabyte)
  expect(took.outLarge - took.outSmall).toBeLessThan(allowed)
  expect(took.inLarge - took.inSmall).toBeLessThan(allowed)
})
