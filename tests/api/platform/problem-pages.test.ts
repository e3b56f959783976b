import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { problemKinds } from '../../../src/platform/http/problem-kinds.ts'
import { featureProblems } from '../../../src/problems.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

// B01: each `type` is an address that opens. What the whole suite is answered is held against the list as it comes.

let t: TestApp
beforeAll(async () => {
  t = await buildTestApp()
})
afterAll(() => t.close())

const listed = [...Object.keys(problemKinds), ...Object.keys(featureProblems)]
const open = (code: string) => fetch(`${t.url}/problems/${code}`).then(answer => answer.status)

it('opens a page for every kind of problem, and none for what is no problem of ours', async () => {
  for (const code of listed) expect(await open(code), code).toBe(200)
  for (const code of ['no-such-problem', 'constructor', 'x', 'UPPER', '%00'])
    expect([400, 404]).toContain(await open(code))
})

it('lists every kind once, with a link', async () => {
  const page = await (await fetch(`${t.url}/problems`)).text()
  expect([...page.matchAll(/href="\/problems\/([a-z-]+)"/g)].map(match => match[1]).sort()).toEqual([...listed].sort())
})

it('lists each code that the sources name', async () => {
  const named = new Set<string>()
  const sources = join(import.meta.dirname, '../../../src')
  for (const file of readdirSync(sources, { recursive: true, encoding: 'utf8' }).filter(name => /\.tsx?$/.test(name)))
    for (const [, code] of readFileSync(join(sources, file), 'utf8').matchAll(
      /\b[pP]roblem\(\s*\d{3},\s*['`]([a-z-]+)['`$]/g,
    ))
      named.add(code!)
  expect(named.size).toBeGreaterThan(40)
  // What ends with a dash goes on with a state of the record.
  expect(
    [...named].filter(code => !listed.some(one => (code.endsWith('-') ? one.startsWith(code) : one === code))),
  ).toEqual([])
})
