import { setImmediate as nextTurn } from 'node:timers/promises'
import type { Change, Standing } from '../domain/answers.ts'
import type { Policies } from '../domain/policy/policies.ts'
import { reminderRoundOf } from '../domain/reminder-round.ts'
import { canonicalText } from '../domain/standing/canonical-text.ts'
import { diffStanding } from '../domain/standing/diff-standing.ts'
import { ofVoidedHome } from '../domain/standing/of-voided-home.ts'
import { engineVersion, standingOf } from '../domain/standing/standing-of.ts'
import { sql, type Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { evaluateHome, seriesNeeded } from './evaluate-home.ts'
import { type LoadedHome, loadHomes, loadSeries } from './load-facts.ts'
import { loadPolicies } from './load-policies.ts'
import { confirmStandings, saveEvaluations, saveObligations, saveStandings } from './save-standing.ts'

export type Restood = { readonly standing: Standing; readonly version: number; readonly changes: readonly Change[] }

/**
 * Works out a home's standing from its facts as they are in this transaction, keeps it with its obligations, and
 * tells the change feed what became different. Every write of a home's facts ends with it.
 */
export async function restand(tx: Tx, act: Act, propertyId: string): Promise<Restood> {
  const restood = (await restandHomes(tx, act, [propertyId])).get(propertyId)
  if (!restood) throw new Error(`there is no home ${propertyId} to stand`)
  return restood
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
    for (const home of await restandHeld(tx, act, propertyIds.slice(from, from + homesAtOnce)))
      restood.set(home.standing.propertyId, home)
  return restood
}

async function restandHeld(tx: Tx, act: Pick<Act, 'now'>, propertyIds: readonly string[]): Promise<readonly Restood[]> {
  const homes = await loadHomes(tx, propertyIds)
  const policies = await loadPolicies(tx)
  const needed = homes.flatMap(home => seriesNeeded(home, policies, act.now))
  const series = await loadSeries(tx, needed)
  const stood: Stood[] = []
  for (const [n, home] of homes.entries()) {
    if (n > 0 && n % homesATurn === 0) await nextTurn()
    stood.push(standAnew(home, policies, series, act.now))
  }
  const changed = stood.filter(home => home.body !== home.kept?.body || home.kept.engineVersion !== engineVersion)
  await saveEvaluations(
    tx,
    stood.flatMap(home => home.fresh),
  )
  const versions = await saveStandings(tx, act.now, changed.map(standingRow))
  if (changed.length < stood.length) await confirmStandings(tx, propertyIds)
  const ids = changed.map(home => home.standing.propertyId)
  if (ids.length) await saveObligations(tx, act.now, ids, changed.flatMap(obligationRows))
  return stood.map(({ standing, kept, changes }) => ({
    standing,
    version: versions.get(standing.propertyId) ?? kept?.version ?? 1,
    changes,
  }))
}

function standAnew(home: LoadedHome, policies: Policies, series: Parameters<typeof evaluateHome>[2], now: number) {
  const { evaluations, fresh } = evaluateHome(home, policies, series, now)
  const stands = standingOf(home.facts, policies, now, evaluations)
  const standing = home.voided ? ofVoidedHome(stands) : stands
  const body = canonicalText(standing)
  const changes = body === home.kept?.body ? [] : diffStanding(before(home), standing)
  return { ...home, fresh, standing, body, changes }
}
const before = ({ kept }: LoadedHome) => (kept ? (JSON.parse(kept.body) as Standing) : null)
type Stood = ReturnType<typeof standAnew>

const standingRow = ({ standing, body }: Stood) => ({
  propertyId: standing.propertyId,
  body,
  outcome: standing.verdict.outcome,
  nextChangeAt: standing.nextChangeAt,
  nextDueOn: standing.obligations.map(obligation => obligation.dueOn).sort()[0] ?? null,
  engineVersion,
})

const obligationRows = ({ standing, keptObligations }: Stood) =>
  standing.obligations.map(obligation => ({
    ...obligation,
    propertyId: standing.propertyId,
    round: reminderRoundOf(
      keptObligations.find(kept => kept.kind === obligation.kind && kept.causeId === obligation.causeId),
      obligation.remindAt[0],
    ),
  }))
