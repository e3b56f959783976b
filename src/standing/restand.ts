import { setImmediate as nextTurn } from 'node:timers/promises'
import type { Standing } from '../domain/answers.ts'
import type { Policies } from '../domain/policy/policies.ts'
import { reminderRoundOf } from '../domain/reminder-round.ts'
import { ofVoidedHome } from '../domain/standing/of-voided-home.ts'
import { engineVersion, standingOf } from '../domain/standing/standing-of.ts'
import { sql, type Tx } from '../platform/db/client.ts'
import type { Act, Write } from '../platform/db/record-write.ts'
import { evaluateHome, seriesNeeded } from './evaluate-home.ts'
import { keptTextOf } from './kept-text.ts'
import { type LoadedHome, loadHomes, loadSeries } from './load-facts.ts'
import { policiesOf } from './load-policies.ts'
import { confirmStandings, type ObligationRow, saveStandings } from './save-standing.ts'

export type Restood = { readonly standing: Standing; readonly version: number }

/**
 * Works out a home's standing from its facts as they are in this transaction, keeps it with its obligations, and
 * tells the change feed when it became different. Every write of a home's facts ends with it; `writes` are those whose
 * trace is left together with it.
 */
export async function restand(tx: Tx, act: Act, propertyId: string, writes: readonly Write[] = []): Promise<Restood> {
  await holdHomes(tx, [propertyId])
  return restandHeld(tx, act, propertyId, writes)
}

/** The same for a home that this transaction holds already. */
export async function restandHeld(
  tx: Tx,
  act: Act,
  propertyId: string,
  writes: readonly Write[] = [],
): Promise<Restood> {
  const [home] = await standAtOnce(tx, act, [propertyId], writes)
  if (!home) throw new Error(`there is no home ${propertyId} to stand`)
  return home
}

const homesAtOnce = 200
// Other requests get their turn in between; about 10 ms.
const homesATurn = 10

// Whoever has written a row that refers to the home holds its key already: a lock that bars that too would have two of
// them wait for each other.
const lockHomes = sql(
  'standing-lock-homes',
  'select id from property where id = any($1::uuid[]) order by id for no key update',
)

/** Holds homes that are about to change, in id order, so that two who hold many never wait for each other. */
export const holdHomes = (tx: Tx, propertyIds: readonly string[]) => tx.rows(lockHomes, [propertyIds])

/** The same for many homes, two hundred of them with the statements of one; locks them in id order. */
export async function restandHomes(
  tx: Tx,
  act: Pick<Act, 'now'>,
  propertyIds: readonly string[],
): Promise<ReadonlyMap<string, Restood>> {
  await holdHomes(tx, propertyIds)
  const restood = new Map<string, Restood>()
  for (let from = 0; from < propertyIds.length; from += homesAtOnce)
    for (const home of await standAtOnce(tx, act, propertyIds.slice(from, from + homesAtOnce)))
      restood.set(home.standing.propertyId, home)
  return restood
}

async function standAtOnce(
  tx: Tx,
  act: Pick<Act, 'now'> & Partial<Act>,
  propertyIds: readonly string[],
  writes: readonly Write[] = [],
): Promise<readonly Restood[]> {
  const { homes, rules } = await loadHomes(tx, propertyIds)
  const policies = await policiesOf(tx, rules)
  const needed = homes.flatMap(home => seriesNeeded(home, policies, act.now))
  const series = await loadSeries(tx, needed)
  const stood: Stood[] = []
  for (const [n, home] of homes.entries()) {
    if (n > 0 && n % homesATurn === 0) await nextTurn()
    stood.push(standAnew(home, policies, series, act.now))
  }
  const changed = stood.filter(home => home.changed)
  const versions = await saveStandings(tx, act, {
    writes,
    evaluations: stood.flatMap(home => home.fresh),
    standings: changed.map(standingRow),
    obligations: changed.flatMap(obligationRows),
  })
  const confirmed = stood.filter(home => !home.changed && home.kept?.stale)
  if (confirmed.length > 0)
    await confirmStandings(
      tx,
      confirmed.map(home => home.standing.propertyId),
    )
  return stood.map(({ standing, kept }) => ({
    standing,
    version: versions.get(standing.propertyId) ?? kept?.version ?? 1,
  }))
}

/** A home’s standing at an instant, and whether it is another than the kept one. */
export function standAnew(
  home: LoadedHome,
  policies: Policies,
  series: Parameters<typeof evaluateHome>[2],
  now: number,
) {
  const { kept } = home
  const { evaluations, fresh, reevaluated } = evaluateHome(home, policies, series, now)
  const stands = standingOf(home.facts, policies, now, evaluations)
  const standing = home.voided ? ofVoidedHome(stands) : stands
  const body = keptTextOf(standing, evaluations)
  const changed = reevaluated || body !== kept?.body || kept.engineVersion !== engineVersion
  return { ...home, fresh, standing, body, changed }
}
type Stood = ReturnType<typeof standAnew>

const standingRow = ({ standing, body }: Stood) => ({
  propertyId: standing.propertyId,
  body,
  outcome: standing.verdict.outcome,
  nextChangeAt: standing.nextChangeAt,
  nextDueOn: standing.obligations.map(obligation => obligation.dueOn).sort()[0] ?? null,
  engineVersion,
})

const obligationRows = ({ standing, keptObligations }: Stood): ObligationRow[] =>
  standing.obligations.map(obligation => ({
    ...obligation,
    propertyId: standing.propertyId,
    round: reminderRoundOf(
      keptObligations.find(kept => kept.kind === obligation.kind && kept.causeId === obligation.causeId),
      obligation.remindAt[0],
    ),
  }))
