import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { loadDemo } from '../../seed/load-demo.ts'
import type { Standing } from '../../src/domain/answers.ts'
import { standingDifference } from '../../src/domain/standing/standing-difference.ts'
import { tryDraftJob } from '../../src/features/policies/drafts/try-draft.ts'
import { readStanding } from '../../src/standing/read-standing.ts'
import { restandHomes } from '../../src/standing/restand.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aVisitor, type Visitor } from '../support/visitor.ts'

// What if a rule changes: drafted, tried on every home, published.

let t: TestApp
let owner: Visitor
let homes: readonly string[]
const minute = 60_000

beforeAll(async () => {
  t = await buildTestApp({ at: '2026-11-20T18:00:00Z', empty: true })
  await loadDemo(t.db, t.clock)
  const { cookie } = await t.as.owner()
  owner = aVisitor(t.app, { [cookie.name]: cookie.value })
  homes = (await t.db.pool.query('select id from property where voided_at is null order by id')).rows.map(row => row.id)
})
afterAll(() => t.close())
beforeEach(() => t.db.pool.query("update policy_trial set state = 'stopped' where state = 'running'"))

const lowered = {
  from: '1 January 2027',
  source: 'Ordinance of an invented state',
  year: '2026',
  clause: 'section 4',
  'rules.levels.0.value': '100',
  'rules.levels.0.unit': 'Bq/m3',
  'rules.levels.0.operator': '>=',
  'rules.rounding': 'none',
}

async function drafted(typed: Readonly<Record<string, string>> = lowered): Promise<string> {
  await owner.get('/rule-drafts/new?code=US')
  const answer = await owner.send('/rule-drafts/new?code=US', typed)
  expect(answer.status, /error-summary.*?<\/ul>/s.exec(answer.text)?.[0]).toBe(303)
  return answer.headers.location!
}
const press = async (draft: string, step: string) => {
  const { text } = await owner.get(draft)
  const version = /name="version" value="(\d+)"/.exec(text)?.[1] ?? '1'
  return owner.send(`${draft}/${step}`, { version })
}
const idOf = (draft: string) => draft.split('/').at(-1)!
const trialOf = async (draft: string) =>
  (
    await t.db.pool.query(
      'select id, state, total, done, changed, verdicts, duties, deadlines from policy_trial where draft_id = $1 order by begun_at desc, id desc limit 1',
      [idOf(draft)],
    )
  ).rows[0]
const foundIn = async (draft: string) =>
  (
    await t.db.pool.query(
      'select property_id as "propertyId", difference from policy_trial_home where trial_id = $1 order by property_id',
      [(await trialOf(draft)).id],
    )
  ).rows
const standings = async (): Promise<Map<string, Standing>> =>
  new Map(await Promise.all(homes.map(async id => [id, (await readStanding(t.db, id))!.standing] as const)))

describe('a draft of a rule set', () => {
  it('says beside each changed rule what stands now, where the change stands, and that nobody read it there', async () => {
    const { text } = await owner.get(await drafted())
    expect(text).toContain('at or above 4.0 pCi/L')
    expect(text).toContain('at or above 100 Bq/m³')
    expect(text).toContain('Ordinance of an invented state (2026), section 4')
    expect(text).toContain('unverified')
    expect(text).toContain('not said any more')
  })

  it('takes the band that stood at the level along, so that work is asked for from where the level lies', async () => {
    const draft = await drafted()
    const { body } = (await t.db.pool.query('select body from policy_draft where id = $1', [idOf(draft)])).rows[0]
    expect(body.rules.tiers.map((tier: { value: string; unit: string }) => `${tier.value} ${tier.unit}`)).toEqual([
      '2.0 pCi/L',
      '100 Bq/m3',
      '8.0 pCi/L',
    ])
  })

  it('changed as its form was filled in stays as it was, but for what is written over', async () => {
    const draft = await drafted()
    const bodyOf = async () =>
      (await t.db.pool.query('select body from policy_draft where id = $1', [idOf(draft)])).rows[0].body
    const before = await bodyOf()
    const { text } = await owner.get(`${draft}/change`)
    expect(text).toContain('value="2027-01-01"')
    const version = /name="version" value="(\d+)"/.exec(text)![1]!
    const filled = Object.fromEntries(
      [...text.matchAll(/<input id="field-[^>]* name="([^"]+)"[^>]* value="([^"]*)"/g)].map(found => [
        found[1],
        found[2],
      ]),
    )
    const chosen = Object.fromEntries(
      [...text.matchAll(/<select id="[^"]*" name="([^"]+)">.*?<option value="([^"]*)" selected>/g)].map(found => [
        found[1],
        found[2]!.replace('&gt;', '>'),
      ]),
    )
    const sent = await owner.send(`${draft}/change`, { ...filled, ...chosen, version, clause: 'section 5' })
    expect(sent.status, /error-summary.*?<\/ul>/s.exec(sent.text)?.[0]).toBe(303)
    expect(JSON.stringify(await bodyOf())).toBe(JSON.stringify(before).replaceAll('section 4', 'section 5'))
  })

  it('that contradicts itself is refused with the reason, and nothing is kept', async () => {
    const before = (await t.db.pool.query('select count(*)::int as n from policy_draft')).rows[0].n
    await owner.get('/rule-drafts/new?code=US')
    const answer = await owner.send('/rule-drafts/new?code=US', { ...lowered, 'rules.tiers.0.value': '9.0' })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('lies under')
    expect((await t.db.pool.query('select count(*)::int as n from policy_draft')).rows[0].n).toBe(before)
  })

  it('in which nothing differs is refused', async () => {
    await owner.get('/rule-drafts/new?code=US')
    const { from, source, clause } = lowered
    const same = { from, source, clause, 'rules.levels.0.value': '4.0' }
    const answer = await owner.send('/rule-drafts/new?code=US', same)
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('Nothing differs')
  })

  it('is not published before it was tried on every home', async () => {
    const draft = await drafted()
    expect((await press(draft, 'publish')).status).toBe(409)
    await press(draft, 'try')
    expect((await press(draft, 'publish')).status).toBe(409)
  })
})

describe('a trial of a draft', () => {
  it('looks at every home, writes no standing, and finds what publishing then does', async () => {
    await t.runJobs()
    const noon = Date.parse('2027-01-01T18:00:00Z')
    const kept = await standings()
    const versions = async () =>
      (await t.db.pool.query('select property_id, version, body from standing order by 1')).rows
    const written = await versions()
    const draft = await drafted()
    await press(draft, 'try')
    await t.runJobs()
    expect(await trialOf(draft)).toMatchObject({ state: 'finished', total: homes.length, done: homes.length })
    expect(await versions()).toEqual(written)
    const found = await foundIn(draft)
    expect(found.length).toBeGreaterThan(0)

    await t.db.transaction(tx => restandHomes(tx, { now: noon }, homes))
    const before = await standings()
    await t.db.transaction(tx => restandHomes(tx, { now: t.clock.now() }, homes))
    expect(await standings()).toEqual(kept)

    expect((await press(draft, 'publish')).status).toBe(303)
    await t.db.transaction(tx => restandHomes(tx, { now: noon }, homes))
    const after = await standings()
    const truth = homes.flatMap(propertyId => {
      const difference = standingDifference(before.get(propertyId)!, after.get(propertyId)!)
      return difference ? [{ propertyId, difference }] : []
    })
    expect(found).toEqual(truth)
    await t.db.transaction(tx => restandHomes(tx, { now: t.clock.now() }, homes))

    // What was published goes on saying how it was before, and how it is since.
    const workings = await owner.get(`${draft}/homes/${found[0].propertyId}`)
    expect(workings.status).toBe(200)
    expect(workings.text).toContain('As they would be')
  })

  it('shows both workings of a home that would stand otherwise, and the list as a table', async () => {
    const draft = await drafted({ ...lowered, from: '1 March 2027', 'rules.levels.0.value': '200' })
    await press(draft, 'try')
    await t.runJobs()
    const [home] = await foundIn(draft)
    const { text } = await owner.get(`${draft}/homes/${home.propertyId}`)
    expect(text).toContain('As the rules are')
    expect(text).toContain('As they would be')
    const csv = await owner.get(`${draft}/homes.csv`)
    expect(csv.text.trim().split('\n')).toHaveLength(1 + (await trialOf(draft)).changed)
  })

  it('whose worker dies is taken up within two minutes and comes to the same', async () => {
    const typed = { ...lowered, from: '1 April 2027', 'rules.levels.0.value': '210' }
    const whole = await drafted(typed)
    await press(whole, 'try')
    await t.runJobs()

    const broken = await drafted(typed)
    await press(broken, 'try')
    const { id: trialId } = await trialOf(broken)
    let stretches = 0
    const dying = { now: () => (++stretches === 3 ? fail() : t.clock.now()) }
    const fail = (): never => {
      throw new Error('the process is gone')
    }
    await expect(tryDraftJob({ db: t.db, clock: dying }, 3)({ trialId }, 'test')).rejects.toThrow('gone')
    expect(await trialOf(broken)).toMatchObject({ state: 'running', done: 6 })
    await t.db.pool.query("delete from graphile_worker._private_jobs where key like 'try-rules%'")
    t.clock.advance(2 * minute)
    await t.runJobs()
    await t.runJobs()
    const { id: _one, ...wholeCounts } = await trialOf(whole)
    const { id: _other, ...brokenCounts } = await trialOf(broken)
    expect(wholeCounts.changed).toBeGreaterThan(0)
    expect(brokenCounts).toEqual(wholeCounts)
    expect(await foundIn(broken)).toEqual(await foundIn(whole))
  })

  it('stopped half-way goes on from there, and two workers at once count no home twice', async () => {
    const draft = await drafted({ ...lowered, from: '1 May 2027', 'rules.levels.0.value': '220' })
    await press(draft, 'try')
    const { id: trialId } = await trialOf(draft)
    let stretches = 0
    const clock = { now: () => (++stretches === 3 ? stop() : t.clock.now()) }
    const stop = (): never => {
      throw new Error('enough')
    }
    await expect(tryDraftJob({ db: t.db, clock }, 3)({ trialId }, 'test')).rejects.toThrow('enough')
    await press(draft, 'stop')
    await t.runJobs()
    expect(await trialOf(draft)).toMatchObject({ state: 'stopped', done: 6 })
    await press(draft, 'go-on')
    const work = tryDraftJob(t, 2)
    await Promise.all([work({ trialId }, 'one'), work({ trialId }, 'other')])
    expect(await trialOf(draft)).toMatchObject({ state: 'finished', done: homes.length })
  })

  it('is overtaken when other rules are published meanwhile, and its draft is not published on it', async () => {
    const first = await drafted({ ...lowered, from: '1 June 2027', 'rules.levels.0.value': '80' })
    const second = await drafted({ ...lowered, from: '1 July 2027', 'rules.levels.0.value': '90' })
    for (const draft of [first, second]) await press(draft, 'try')
    await t.runJobs()
    expect((await press(first, 'publish')).status).toBe(303)
    expect((await press(second, 'publish')).status).toBe(409)
  })
})

describe('publishing a draft', () => {
  it('stands every home anew in the background and mails nobody whose duties did not change', async () => {
    await t.runJobs()
    t.mailbox.clear()
    const draft = await drafted({
      ...{ from: 'today', source: 'Ordinance', clause: 'section 5' },
      'rules.retestUnmitigatedEvery': '4 years',
    })
    await press(draft, 'try')
    await t.runJobs()
    const changed = (await foundIn(draft)).map(home => home.propertyId)
    expect((await press(draft, 'publish')).status).toBe(303)
    expect((await owner.get(draft)).text).toContain('stand anew')
    await t.runJobs()
    expect((await owner.get(draft)).text).toContain(`All ${homes.length} homes stand by it`)
    const { rows } = await t.db.pool.query(
      'select distinct o.property_id as id from notice n join obligation o on o.id = n.obligation_id where n.claimed_at >= $1',
      [new Date(t.clock.now())],
    )
    expect(rows.filter(({ id }) => !changed.includes(id))).toEqual([])
  })
})
