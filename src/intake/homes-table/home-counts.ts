import { fillsIn, type HomePlan, isNothingNew } from './plan-home.ts'

export type HomesCounts = {
  /** Homes that would be taken up. */
  readonly fresh: number
  /** Homes on record that something would be added to. */
  readonly added: number
  /** Of these, homes whose year or foundation, which the record does not know, would be filled in. */
  readonly filled: number
  /** Homes on record that know all of it. */
  readonly same: number
  readonly people: number
  readonly systems: number
  readonly tests: number
  readonly notes: number
  /** Rows that are part of a home another row began. */
  readonly joinedRows: number
  readonly skippedRows: number
  readonly bad: number
  readonly remarks: number
  /** Likely doubles nobody has decided on. */
  readonly undecided: number
  /** Homes whose zone the address does not tell. */
  readonly zonesAssumed: number
}

type OfPlans = Omit<HomesCounts, 'skippedRows' | 'bad' | 'remarks' | 'undecided'>
export type PlanCounts = { -readonly [count in keyof OfPlans]: number }

export const noPlans = (): PlanCounts => ({
  ...{
    fresh: 0,
    added: 0,
    filled: 0,
    same: 0,
    people: 0,
    systems: 0,
    tests: 0,
    notes: 0,
    joinedRows: 0,
    zonesAssumed: 0,
  },
})

/** Counts in what a commit would do at one home. */
export function countPlan(counts: PlanCounts, plan: HomePlan, zoneAssumed: boolean): void {
  const nothing = isNothingNew(plan)
  if (!plan.on) counts.fresh++
  else if (!nothing) counts.added++
  if (nothing) counts.same++
  counts.filled += fillsIn(plan.fill) ? 1 : 0
  counts.people += (plan.owner ? 1 : 0) + plan.others.length
  counts.systems += plan.systems.filter(({ to }) => to === null).length
  counts.tests += plan.tests.length
  counts.notes += plan.note.length > 0 ? 1 : 0
  counts.joinedRows += plan.home.rows.length - 1
  counts.zonesAssumed += zoneAssumed ? 1 : 0
}
