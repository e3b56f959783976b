import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../../support/actors.ts'
import { aMailedHome } from '../../support/mailed-home.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { aWholeHome, day1, day3 } from '../../support/world.ts'

let service: TestApp
let office: Person

beforeAll(async () => {
  service = await buildTestApp()
  office = await service.as.office()
  const program = await service.as.app()
  const home = await aWholeHome(program, 'Alder')
  await aMailedHome(service, program, office, home, 'water in the pipe')
  await program
    .post(`/v1/properties/${home.property}/tests`, {
      purpose: 'retest',
      method: 'activated-charcoal',
      setAt: day1,
      pickedUpAt: day3,
      resultInAt: '2026-02-20T12:00:00Z',
      exposures: [{ locationId: home.location, startAt: day1, stopAt: day3, result: { value: '5.1', unit: 'pCi/L' } }],
    })
    .expect(201)
})
afterAll(() => service.close())

/** The sentences of the ledger as they are read out: tags gone, spaces as a browser sets them. */
const sentences = (html: string): string[] =>
  [...html.matchAll(/<p class="ledger-words">(.*?)<\/p>/gs)].map(([, words]) =>
    words!
      .replaceAll(/<[^>]+>/g, '')
      .replaceAll(/\s+/g, ' ')
      .trim(),
  )

describe('the ledger', () => {
  it('says each line as a sentence in the trade’s words', async () => {
    const said = sentences((await office.get('/')).text)
    expect(said).toContain('1 Alder Street, Duluth, Alder Owner: reports an alarm or something wrong')
    expect(said).toContainEqual(expect.stringMatching(/^1 Alder Street, Duluth, Alder Owner: Retest is in: [a-z ]+$/))
    expect(said).toContain('1 Alder Street, Duluth, Alder Owner: gauge check')
    expect(said.filter(line => / ,|\S\(|[a-z]-or-|visit-request|\)[a-z]/.test(line))).toEqual([])
  })
})
