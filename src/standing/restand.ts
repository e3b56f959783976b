import type { Change, Standing } from '../domain/answers.ts'
import type { Policies } from '../domain/policy/policies.ts'
import { reminderRoundOf } from '../domain/reminder-round.ts'
import { canonicalText } from '../domain/standing/canonical-text.ts'
import { diffStanding } from '../domain/standing/diff-standing.ts'
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

const lockHomes = sql(
  'standing-lock-homes',
  'select id from property where id = any($1::uuid[]) order by id for update',
)

/** The same for many homes with the statements of one; locks them in id order. */
export async function restandHomes(
  tx: Tx,
  act: Pick<Act, 'now'>,
  propertyIds: readonly string[],
): Promise<ReadonlyMap<string, Restood>> {
  await tx.rows(lockHomes, [propertyIds])
  const homes = await loadHomes(tx, propertyIds)
  const policies = await loadPolicies(tx)
  const needed = homes.flatMap(home => seriesNeeded(home, policies, act.now))
  const series = await loadSeries(tx, needed)
  const stood = homes.map(home => standAnew(home, policies, series, act.now))
  const changed = stood.filter(home => home.body !== home.kept?.body || home.kept.engineVersion !== engineVersion)
  await saveEvaluations(
    tx,
    stood.flatMap(home => home.fresh),
  )
  const versions = await saveStandings(tx, act.now, changed.map(standingRow))
  if (changed.length < stood.length) await confirmStandings(tx, propertyIds)
  const ids = changed.map(home => home.standing.propertyId)
  if (ids.length) await saveObligations(tx, act.now, ids, changed.flatMap(obligationRows))
  return new Map(
    stood.map(home => [
      home.standing.propertyId,
      {
        standing: home.standing,
        version: versions.get(home.standing.propertyId) ?? home.kept?.version ?? 1,
        changes: home.changes,
      },
    ]),
  )
}

function standAnew(home: LoadedHome, policies: Policies, series: Parameters<typeof evaluateHome>[2], now: number) {
  const { evaluations, fresh } = evaluateHome(home, policies, series, now)
  const standing = standingOf(home.facts, policies, now, evaluations)
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
