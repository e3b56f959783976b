import fc from 'fast-check'
import { loadDemo } from '../../seed/load-demo.ts'
import { sealAllAudit } from '../../src/features/changes/seal-audit.ts'
import type { Program } from './actors.ts'
import { aMailedHome } from './mailed-home.ts'
import { insertRow } from './rows.ts'
import type { TestApp } from './test-app.ts'
import { aWholeHome } from './world.ts'

const seed = 20261127
/** Whatever a column of text may hold: PostgreSQL takes no NUL. */
const anyText = fc.string({ unit: 'binary', maxLength: 40 }).map(text => text.replaceAll('\0', ''))
const hostile = ['=1+1', '+12185550100', '-2', '@SUM(A1)', '\ttab', 'a,"b"\r\nc', '\\N', '\\.', '\u2028', "O'Neil", '']

/** The demo company, a home with everything that can hang on one, one that was mailed, and generated homes. */
export async function aCompanyAtWork(t: TestApp, generated: number): Promise<void> {
  await loadDemo(t.db, t.clock)
  await t.db.pool.query('update company set reminders_released_at = updated_at')
  const program = await t.as.app()
  const home = await aWholeHome(program, 'Alder')
  await aMailedHome(t, program, await t.as.office(), home, 'Alder')
  for (const facts of fc.sample(generatedHome, { seed, numRuns: generated })) await aGeneratedHome(program, facts)
  await oddRows(t)
  await t.runJobs()
  await sealAllAudit(t.db)
}

const generatedHome = fc.record({
  name: fc.integer({ min: 1, max: 1e9 }),
  yearBuilt: fc.option(fc.integer({ min: 1850, max: 2020 })),
  tests: fc.array(
    fc.record({
      monthsAgo: fc.integer({ min: 1, max: 140 }),
      hours: fc.integer({ min: 20, max: 240 }),
      tenths: fc.integer({ min: 1, max: 300 }),
      method: fc.constantFrom('activated-charcoal', 'alpha-track', 'continuous-monitor'),
      purpose: fc.constantFrom('pre-mitigation', 'post-mitigation', 'retest', 'real-estate'),
    }),
    { maxLength: 5 },
  ),
})

type GeneratedHome = typeof generatedHome extends fc.Arbitrary<infer T> ? T : never

async function aGeneratedHome(program: Program, facts: GeneratedHome): Promise<void> {
  const { body: property } = await program
    .post('/v1/properties', {
      street: `${facts.name} Elm Street`,
      city: 'Duluth',
      region: 'MN',
      postcode: '55803',
      country: 'US',
      ...(facts.yearBuilt === null ? {} : { yearBuilt: facts.yearBuilt }),
      testLocations: [{ name: 'Family room', floor: -1, livedIn: true }],
    })
    .expect(201)
  for (const { monthsAgo, hours, tenths, method, purpose } of facts.tests) {
    const start = Date.parse('2026-01-05T12:00:00Z') - monthsAgo * 30 * 86_400_000
    const [startAt, stopAt] = [start, start + hours * 3_600_000].map(at => new Date(at).toISOString())
    const result = { value: (tenths / 10).toFixed(1), unit: 'pCi/L' }
    await program
      .post(`/v1/properties/${property.id}/tests`, {
        ...{ purpose, method, setAt: startAt, pickedUpAt: stopAt, resultInAt: stopAt },
        exposures: [{ locationId: property.testLocations[0].id, startAt, stopAt, result }],
      })
      .expect(201)
  }
}

/** Rows that hold what people, programs and files can put into them. */
async function oddRows({ db, clock }: TestApp): Promise<void> {
  const stamp = new Date(clock.now())
  const texts = [...hostile, ...fc.sample(anyText, { seed, numRuns: 40 })]
  for (const [n, text] of texts.entries()) {
    const id = fc.sample(fc.uuid({ version: 7 }), { seed: seed + n, numRuns: 1 })[0]!
    await insertRow(db.pool, 'customer', { id, name: text, note: text, created_at: stamp, updated_at: stamp })
    const was = JSON.stringify({ [text]: [text, null, 0.1, 12345678901234567890n.toString(), { deep: [] }] })
    const revision = { noun: 'customer', noun_id: id, version: 1, reason: text, actor_kind: 'operator', at: stamp }
    await insertRow(db.pool, 'fact_revision', { id, ...revision, was })
  }
  await db.pool.query(
    `insert into import_batch (id, kind, state, file_sha256, file_name, reading, actor_kind, created_at)
     select gen_random_uuid(), 'homes', 'committing', sha256, name, $1, 'operator', $2 from stored_file limit 1`,
    ['{"exact": 1234567890.12345678901234567890, "nothing": null}', stamp],
  )
}
