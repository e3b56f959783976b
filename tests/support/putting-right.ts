import { expect } from 'vitest'
import { canonicalText } from '../../src/domain/standing/canonical-text.ts'
import { readStanding } from '../../src/standing/read-standing.ts'
import { restandHomes } from '../../src/standing/restand.ts'
import type { Program } from './actors.ts'
import type { TestApp } from './test-app.ts'

/** Asks for a correction and gives it, after seeing that its preview says the same and changes nothing. */
export async function putRightAsShown(program: Program, body: object) {
  const shown = await program.post('/v1/corrections', { ...body, dryRun: true })
  expect(shown.status, shown.text).toBe(200)
  const done = await program.post('/v1/corrections', { ...body, tag: shown.body.tag })
  expect(done.status, done.text).toBe(201)
  expect(done.body.homes).toEqual(shown.body.homes)
  expect(done.body.told).toEqual(shown.body.told)
  return done.body
}

export async function undone(program: Program, correction: { id: string; version: number }, reason = 'it was right') {
  const answer = await program.agent
    .post(`/v1/corrections/${correction.id}/undo`)
    .set('if-match', `"${correction.version}"`)
    .send({ reason })
  return answer
}

/** How homes stand, as kept; each must be what reckoning anew from the facts alone gives. */
export async function standingsOf({ db, clock }: TestApp, homes: readonly string[]): Promise<string[]> {
  const read = () =>
    Promise.all(homes.map(async id => canonicalText(withoutVersions((await readStanding(db, id))!.standing))))
  const kept = await read()
  await db.pool.query(
    'delete from test_evaluation where test_id in (select id from test where property_id = any($1::uuid[]))',
    [homes],
  )
  await db.transaction(tx => restandHomes(tx, { now: clock.now() }, homes))
  expect(await read()).toEqual(kept)
  return kept
}

// A test that went and came back is a later version of itself, and the same test.
const withoutVersions = <S extends { tests: readonly object[] }>(standing: S): S => ({
  ...standing,
  tests: standing.tests.map(test => ({ ...test, testVersion: 0 })),
})

/** Every row of every table that says something of homes, but for versions, stamps and the traces of writes. */
export async function factsOf({ db }: TestApp): Promise<Record<string, unknown[]>> {
  const tables = [
    ...['property', 'foundation_area', 'test_location', 'ownership', 'property_person', 'work_party', 'home_event'],
    ...['system', 'suction_point', 'test', 'exposure', 'series', 'callback', 'visit', 'note', 'kit', 'device_booking'],
    ...['homeowner_link', 'homeowner_report', 'import_batch', 'search_phrase', 'customer', 'outreach'],
  ]
  const facts: Record<string, unknown[]> = {}
  for (const table of tables) {
    const { rows } = await db.pool.query(
      `select (to_jsonb(t) - 'version' - 'updated_at')::text as row from ${table} t order by 1`,
    )
    facts[table] = rows.map(({ row }) => row)
  }
  return facts
}
