import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { publishNewPolicies, publishPolicy } from '../../../src/features/policies/publish-policy.ts'
import { seededPolicies } from '../../support/homes.ts'
import { withShippedPolicies } from '../../support/laws-in-database.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
const operator = () => ({ actor: { kind: 'operator', id: null }, now: service.clock.now(), requestId: 'test' }) as const
const us = seededPolicies.findLast(policy => policy.code === 'US')!
const published = (body: unknown) => service.db.transaction(tx => publishPolicy(tx, operator(), body))

beforeAll(async () => {
  service = await buildTestApp()
  await withShippedPolicies(service.db, operator())
})
afterAll(() => service.close())

describe('publishing a rule set', () => {
  it('that is published already, word for word, changes nothing', async () => {
    expect(await published(us)).toBeNull()
  })

  it('under the day of a published version with other rules is refused', async () => {
    await expect(published({ ...us, title: 'Another' })).rejects.toMatchObject({
      status: 409,
      code: 'already-published',
    })
  })

  it('that a newer program brings in other words leaves what was published, and is named; what is new is published', async () => {
    const later = { ...us, effectiveFrom: '2031-01-01' }
    const bring = () =>
      service.db.transaction(async tx => {
        const named = await publishNewPolicies(tx, operator(), [...seededPolicies, { ...us, title: 'Another' }, later])
        const { rows } = await tx.raw.query(
          `select body->>'title' as title from policy where code = 'US' order by effective_from desc`,
        )
        throw Object.assign(new Error('undo'), { named, titles: rows.map(({ title }: { title: string }) => title) })
      })
    await expect(bring()).rejects.toMatchObject({
      named: [`US@${us.effectiveFrom}`],
      titles: [us.title, us.title, expect.any(String)],
    })
  })

  it('that can not be read, or names an instrument it does not state, is refused and says where', async () => {
    await expect(published({ ...us, effectiveFrom: '2026-02-30' })).rejects.toMatchObject({
      status: 422,
      errors: [{ pointer: '/effectiveFrom' }],
    })
    await expect(published({ ...us, effectiveFrom: '2030-01-01', instruments: {} })).rejects.toMatchObject({
      status: 422,
    })
  })

  it('that names a parent nobody published is refused with a remedy, and the rules in force stay readable', async () => {
    const orphan = { ...us, code: 'US-TX', jurisdiction: 'US-TX', parent: 'USA' }
    await expect(published(orphan)).rejects.toMatchObject({
      status: 422,
      errors: [{ pointer: '/parent', detail: expect.stringContaining('Publish USA first') }],
    })
    const app = await service.as.app()
    const { items } = (await app.get('/v1/policies?limit=200')).body
    expect(items.map((policy: { code: string }) => policy.code)).not.toContain('US-TX')
  })

  it('that another published one contradicts is refused, and the other is named', async () => {
    const { levels, tiers } = us.rules
    const strict = { ...us, code: 'US-TX', jurisdiction: 'US-TX', parent: 'US', uses: {}, rules: { tiers } }
    await published(strict)
    const raised = { ...us.rules, levels: levels!.map(level => ({ ...level, value: '6.0' })), tiers: [] }
    await expect(published({ ...us, effectiveFrom: '2030-01-01', rules: raised })).rejects.toMatchObject({
      status: 422,
      errors: expect.arrayContaining([
        { pointer: '', code: 'policy', detail: expect.stringContaining('US-TX@2019-01-01/rules/tiers: asks for') },
      ]),
    })
  })

  it('at the same moment as another of the same day leaves one of them', async () => {
    const titles = ['One', 'Two', 'Three']
    const done = await Promise.allSettled(
      titles.map(title =>
        published({ ...us, code: 'US-TX', jurisdiction: 'US-TX', parent: 'US', effectiveFrom: '2029-01-01', title }),
      ),
    )
    expect(done.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected', 'rejected'])
  })

  it('from a later day ends the version before it', async () => {
    await published({ ...us, effectiveFrom: '2031-01-01' })
    const app = await service.as.app()
    const { items } = (await app.get('/v1/policies?limit=200')).body
    const versions = items.filter((policy: { code: string }) => policy.code === 'US')
    expect(versions.at(-2)).toMatchObject({ effectiveFrom: us.effectiveFrom, effectiveUntil: '2030-12-31' })
    expect(versions.at(-1)).toMatchObject({ effectiveFrom: '2031-01-01', effectiveUntil: null })
  })
})

describe('the rule sets over the API', () => {
  it('need their scope', async () => {
    const stranger = await service.as.app({ scopes: ['properties:read'] })
    expect((await stranger.get('/v1/policies')).status).toBe(403)
  })

  it('come whole: every level with its operator, unit, clause and whether it was checked', async () => {
    const app = await service.as.app()
    const { items } = (await app.get('/v1/policies?limit=200')).body
    const one = (await app.get(`/v1/policies/${items.find((policy: { code: string }) => policy.code === 'US').id}`))
      .body
    expect(one.body.rules.levels[0]).toMatchObject({ value: '4.0', unit: 'pCi/L', operator: '>=' })
    expect(one.body.rules.levels[0].status).toMatch(/^(checked|unverified)$/)
    expect((await app.get('/v1/policies/019a0000-0000-7000-8000-000000000000')).status).toBe(404)
  })

  it('are walked by a cursor', async () => {
    const app = await service.as.app()
    const first = (await app.get('/v1/policies?limit=1')).body
    const second = (await app.get(`/v1/policies?limit=1&cursor=${first.next}`)).body
    expect(second.items[0].id).not.toBe(first.items[0].id)
  })
})
