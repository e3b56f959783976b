import { expect, it } from 'vitest'
import type { HomeCells } from '../../src/intake/homes-table/home-facts.ts'
import { isNothingNew, planHome } from '../../src/intake/homes-table/plan-home.ts'
import type { RecordFacts } from '../../src/intake/homes-table/record-queries.ts'
import { gatherHomes } from '../support/read-homes.ts'

const row: HomeCells = {
  place: { sheet: '', line: 2 },
  id: null,
  address: { street: '12 Foundry Ln', unit: '', city: 'Duluth', region: 'MN', postcode: '55802', country: 'US' },
  ...{ yearBuilt: 1962, foundation: null, owner: null, ownerSince: null, secondOwner: null },
  ...{ tenant: null, manager: null, system: null, tests: [], notes: [] },
}
const onRecord = (known: Partial<RecordFacts>): RecordFacts => ({
  ...{ id: 'home', zone: 'America/Chicago', yearBuilt: null, hasFoundation: false, everOwned: false },
  ...{ names: [], systems: [], results: [], notes: [] },
  ...known,
})
const [home] = gatherHomes([row])

it('a year that differs from the one on record is told beside it, once; the record keeps its own', () => {
  const { note } = planHome(home!, onRecord({ yearBuilt: 1958 }))
  expect(note).toEqual(['Year built: 1962; on record it is 1958'])
  expect(planHome(home!, onRecord({ yearBuilt: 1958, notes: [`From the old records\n${note[0]}`] })).note).toEqual([])
  expect(planHome(home!, onRecord({ yearBuilt: 1962 })).note).toEqual([])
})

it('a year and a foundation that the record does not know are filled in; what is known stays, and words that name no foundation are noted', () => {
  const told = (foundation: string) => gatherHomes([{ ...row, foundation }])[0]!
  const basement = { kind: 'basement', name: 'Basement' }
  const crawl = { kind: 'crawl-space', name: 'Crawl space' }
  expect(planHome(told('Bsmt + crawl'), onRecord({}))).toMatchObject({
    fill: { yearBuilt: 1962, foundation: [basement, crawl] },
    note: [],
  })
  const known = onRecord({ yearBuilt: 1962, hasFoundation: true })
  expect(planHome(told('slab'), known)).toMatchObject({ fill: { yearBuilt: null, foundation: [] }, note: [] })
  expect(isNothingNew(planHome(told('slab'), known))).toBe(true)
  expect(planHome(told('stilts'), onRecord({}))).toMatchObject({
    fill: { foundation: [] },
    note: ['Foundation: stilts'],
  })
})
