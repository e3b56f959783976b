import type { EvaluatedTest } from '../domain/answers.ts'
import type { Instant } from '../domain/facts.ts'
import { canonicalText } from '../domain/standing/canonical-text.ts'
import { engineVersion } from '../domain/standing/standing-of.ts'
import { type Db, sql } from '../platform/db/client.ts'
import { seriesNeeded } from './evaluate-home.ts'
import { type KeptText, standingFrom } from './kept-text.ts'
import { type LoadedHome, loadHomes, loadSeries } from './load-facts.ts'
import { policiesOf } from './load-policies.ts'
import { standAnew } from './restand.ts'

export type ComparedStandings = {
  /** Homes whose kept standing is what their facts give. */
  readonly equal: number
  /** Homes that are to be stood anew in any case: marked, aged, or reckoned by an earlier version of the program. */
  readonly due: number
  /** Homes whose kept standing is another. */
  readonly unequal: readonly string[]
}

// Few, because the records of all their tests are read: nothing that was kept of them is used.
const homesAtOnce = 50
const next = sql(
  'standing-compare-next',
  'select property_id as id from standing where $1::uuid is null or property_id > $1 order by property_id limit $2',
)

/** Reckons every kept standing from its facts alone, as of an instant, and compares. Writes nothing. */
export async function compareStandings(db: Db, now: Instant): Promise<ComparedStandings> {
  let equal = 0
  let due = 0
  const unequal: string[] = []
  for (let last: string | null = null; ; ) {
    const ids: readonly string[] = (await db.rows<{ id: string }>(next, [last, homesAtOnce])).map(row => row.id)
    if (ids.length === 0) return { equal, due, unequal }
    const { homes, rules } = await loadHomes(db, ids)
    const policies = await policiesOf(db, rules)
    const bare = homes.map(home => ({ ...home, evaluations: [] }))
    const series = await loadSeries(
      db,
      bare.flatMap(home => seriesNeeded(home, policies, now)),
    )
    for (const [n, home] of homes.entries()) {
      const kept = keptStanding(home, now)
      if (kept === null) due += 1
      else if (kept === canonicalText(standAnew(bare[n]!, policies, series, now).standing)) equal += 1
      else unequal.push(home.facts.propertyId)
    }
    last = ids.at(-1)!
  }
}

/** The whole text of a kept standing, null when it is not meant to hold at this instant. */
function keptStanding({ kept, evaluations }: LoadedHome, now: Instant): string | null {
  if (!kept || kept.stale || kept.engineVersion !== engineVersion) return null
  const text = JSON.parse(kept.body) as KeptText
  if (text.nextChangeAt !== null && text.nextChangeAt <= now) return null
  return canonicalText(
    standingFrom(
      text,
      evaluations.map(({ body }) => JSON.parse(body) as EvaluatedTest),
    ),
  )
}
