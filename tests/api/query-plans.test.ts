import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { manyHomes } from '../../bench/rig/many-homes.ts'
import { listHomes, listProperties } from '../../src/features/properties/list-queries.ts'
import { listSystems } from '../../src/features/systems/queries.ts'
import { listTests } from '../../src/features/tests/queries.ts'
import { findHomes } from '../../src/intake/home-queries.ts'
import type { Db, Statement } from '../../src/platform/db/client.ts'
import { anOpenDatabase } from '../support/database.ts'

const act = { actor: { kind: 'operator', id: null }, now: Date.parse('2026-03-02T15:00:00Z') } as const
const someId = '019ac000-0000-7000-8000-000000000000'
const wanted = { id: null, street: '9 Kent Street', unit: '', city: 'Duluth', region: 'MN', postcode: '' }

let opened: Awaited<ReturnType<typeof anOpenDatabase>>
beforeAll(async () => {
  opened = await anOpenDatabase(1)
  await manyHomes(opened.url, 3000)
})
afterAll(() => opened.close())

type Plan = {
  readonly 'Node Type': string
  readonly 'Relation Name'?: string
  readonly 'Actual Rows': number
  readonly 'Rows Removed by Filter'?: number
  readonly Plans?: readonly Plan[]
}
const nodesOf = (plan: Plan): Plan[] => [plan, ...(plan.Plans ?? []).flatMap(nodesOf)]

/** The plan that a connection keeps for whatever values, of each statement that some work runs. */
async function plansOf(work: (db: Db) => Promise<unknown>): Promise<Plan[]> {
  const { pool } = opened.db
  const plans: Plan[] = []
  const rows = async <R>(statement: Statement, values: readonly unknown[] = []): Promise<R[]> => {
    await pool.query('set plan_cache_mode = force_generic_plan')
    const text = `explain (analyze, format json) ${statement.text}`
    const answer = await pool.query({ name: `explain-${statement.name}`, text, values: [...values] })
    plans.push(answer.rows[0]['QUERY PLAN'][0].Plan)
    return []
  }
  await work({ rows, one: async () => null })
  return plans
}

/** What a plan reads from the first to the last row, or puts in order, of the tables that grow with the homes. */
const wholeReads = (plan: Plan): string[] =>
  nodesOf(plan)
    .filter(node => node['Node Type'] === 'Seq Scan' || node['Node Type'] === 'Sort')
    .filter(node => node['Actual Rows'] + (node['Rows Removed by Filter'] ?? 0) > 100)
    .map(node => `${node['Node Type']} ${node['Relation Name'] ?? ''}`)

const views: Record<string, (db: Db) => Promise<unknown>> = {
  'the first systems': db => listSystems(db, act, { limit: 50 }),
  'systems from a position on': db => listSystems(db, act, { limit: 50, before: someId }),
  'the systems of a home': db => listSystems(db, act, { limit: 50, propertyId: someId }),
  'a system by its tag': db => listSystems(db, act, { limit: 50, tag: 'T-77' }),
  'the first tests': db => listTests(db, act, { limit: 50 }),
  'the tests of a home': db => listTests(db, act, { limit: 50, propertyId: someId }),
  'the first properties': db => listProperties(db, act, { limit: 50, before: null }),
  'the homes by due day': db => listHomes(db, act, { limit: 50, after: null }),
  'the homes of a table of results': db => findHomes(db, act, [wanted]),
}

describe('a list at 3,000 homes', () => {
  it.each(Object.keys(views))('reads no table whole and sorts none: %s', async name => {
    const plans = await plansOf(views[name]!)
    expect(plans).toHaveLength(1)
    expect(plans.flatMap(wholeReads)).toEqual([])
  })
})
