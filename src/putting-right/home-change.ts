import type { Obligation, Standing, Verdict } from '../domain/answers.ts'
import { type Db, sql } from '../platform/db/client.ts'

/** Where a home stands, as short as a correction keeps it. */
export type Brief = {
  readonly voided: boolean
  readonly verdict: Pick<Verdict, 'outcome' | 'reason' | 'level' | 'compared'>
  readonly owed: readonly Pick<Obligation, 'kind' | 'earliestOn' | 'dueOn' | 'owedBy' | 'recommended'>[]
}
/** A home before and after a correction. */
export type HomeChange = {
  readonly propertyId: string
  readonly address: string
  readonly before: Brief
  readonly after: Brief
  readonly changed: boolean
}

const namesOf = sql(
  'putting-right-homes',
  `select id, concat_ws(', ', nullif(concat_ws(' ', nullif(street, ''), nullif(unit, '')), ''), nullif(city, '')) as address,
     voided_at is not null as voided from property where id = any($1::uuid[])`,
)
type Named = { readonly id: string; readonly address: string; readonly voided: boolean }
/** Homes' addresses, and which of them are voided. */
export const homesNamed = async (db: Db, ids: readonly string[]): Promise<ReadonlyMap<string, Named>> =>
  new Map((await db.rows<Named>(namesOf, [ids])).map(home => [home.id, home]))

export type Stood = ReadonlyMap<string, { readonly standing: Standing }>

/** Each home's standing before and after, side by side, in the order of the homes. */
export function homeChanges(
  homes: readonly string[],
  before: { readonly stood: Stood; readonly named: ReadonlyMap<string, Named> },
  after: { readonly stood: Stood; readonly named: ReadonlyMap<string, Named> },
): HomeChange[] {
  return homes.map(propertyId => {
    const was = briefOf(before.stood.get(propertyId)!.standing, before.named.get(propertyId)!.voided)
    const now = briefOf(after.stood.get(propertyId)!.standing, after.named.get(propertyId)!.voided)
    const { address } = after.named.get(propertyId)!
    return { propertyId, address, before: was, after: now, changed: JSON.stringify(was) !== JSON.stringify(now) }
  })
}

const briefOf = ({ verdict, obligations }: Standing, voided: boolean): Brief => ({
  voided,
  verdict: { outcome: verdict.outcome, reason: verdict.reason, level: verdict.level, compared: verdict.compared },
  owed: obligations.map(({ kind, earliestOn, dueOn, owedBy, recommended }) => ({
    ...{ kind, earliestOn, dueOn, owedBy, recommended },
  })),
})
