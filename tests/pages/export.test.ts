import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Person } from '../support/actors.ts'
import { partsOf, recordsIn } from '../support/exported.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome } from '../support/world.ts'

let t: TestApp
let owner: Person
let folder: string

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'export-page-'))
  t = await buildTestApp()
  await aWholeHome(await t.as.app(), 'Alder')
  owner = await t.as.owner()
})
afterAll(async () => {
  await t.close()
  await rm(folder, { recursive: true, force: true })
})

const lines = async () =>
  (await t.db.pool.query(`select actor_kind, actor_id, noun from audit where action = 'export'`)).rows

it('gives the owner every record as a zip archive, and writes down who took it', async () => {
  const answer = await owner.submit('/company/everything').responseType('blob').expect(200)
  expect(answer.headers).toMatchObject({
    'content-type': 'application/zip',
    'content-disposition': 'attachment; filename="records-2026-03-02.zip"',
    'cache-control': 'no-store',
  })
  const file = join(folder, 'records.zip')
  await writeFile(file, answer.body as Buffer)
  const parts = await partsOf(file)
  expect(recordsIn(parts, 'property').map(home => home.street)).toEqual(['1 Alder Street'])
  expect(parts.get('README.txt')!.toString()).toContain('A test tells what was measured where and when')
  const taken = [{ actor_kind: 'staff', actor_id: owner.id, noun: 'everything' }]
  expect(await lines()).toEqual(taken)
  expect(recordsIn(parts, 'audit').at(-1)).toMatchObject({ action: 'export', actor_id: owner.id })
  expect((await owner.get('/changes')).text).toContain('took out everything')
})

it('asks for the password again when it was entered more than a quarter of an hour ago', async () => {
  const before = await lines()
  t.clock.advance(16 * 60_000)
  const page = await owner.get('/company/everything')
  expect([page.status, page.headers.location]).toEqual([303, '/confirm?next=%2Fcompany%2Feverything'])
  const answer = await owner.submit('/company/everything')
  expect(answer.status).toBe(403)
  expect(answer.text).toContain('Is it still you?')
  expect(await lines()).toEqual(before)
})

it('is for the owner alone', async () => {
  for (const person of [await t.as.office(), await t.as.crew()]) {
    expect((await person.get('/company/everything')).status).toBe(403)
    expect((await person.submit('/company/everything')).status).toBe(403)
  }
})
