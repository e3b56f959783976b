import { policiesFrom, publishedPolicies } from '../../../domain/policy/policies-from.ts'
import { versionName } from '../../../domain/policy/policy-problem.ts'
import { policySchema } from '../../../domain/policy/policy-schema.ts'
import { changesDuty, movesDeadline } from '../../../domain/standing/standing-difference.ts'
import type { Db } from '../../../platform/db/client.ts'
import type { Deps } from '../../../platform/deps.ts'
import type { JobHandler } from '../../../platform/jobs/queue.ts'
import { foreseeHomes, type RuleChange } from '../../../standing/foresee-rules.ts'
import { loadPolicies, rulesPublished } from '../../../standing/load-policies.ts'
import { type Draft, readDraft } from './draft-queries.ts'
import { homesAfter, leftTrials, markOvertaken, moveTrial, readTrial, type Trial } from './trial-queries.ts'

type Trying = {
  readonly trialId: string
  readonly homesAtOnce: number
  /** What was put together for one stretch serves the next. */
  readonly changes: Map<string, RuleChange>
}

/**
 * Holds a draft against every home, a stretch a statement: a run that dies, is stopped or is done twice goes on where
 * the last whole stretch ended.
 */
export const tryDraftJob =
  ({ db, clock }: Pick<Deps, 'db' | 'clock'>, homesAtOnce = 200): JobHandler =>
  async payload => {
    const { trialId } = payload as { trialId: string }
    const changes = new Map<string, RuleChange>()
    while (await tryNext(db, clock.now(), { trialId, changes, homesAtOnce }));
  }

// One stretch; gives whether there is more to do here.
async function tryNext(db: Db, now: number, { trialId, homesAtOnce, changes }: Trying): Promise<boolean> {
  const trial = await readTrial(db, trialId)
  if (trial?.state !== 'running') return false
  const draft = await readDraft(db, trial.draftId)
  if (!draft || draft.version !== trial.draftVersion || (await rulesPublished(db)) !== trial.rules) {
    await markOvertaken(db, trial.id)
    return false
  }
  const key = `${draft.version} ${trial.rules}`
  const change = changes.get(key) ?? (await changeOf(db, draft, trial.begunAt))
  if (!change) throw new Error('a kept draft contradicts the very rules it was kept under')
  changes.set(key, change)
  const ids = await homesAfter(db, trial.afterId, homesAtOnce)
  const found = await foreseeHomes(db, change, ids)
  const kept = found.map(({ propertyId, difference }) => ({
    ...{ propertyId, difference },
    verdict: difference.verdict !== null,
    duty: changesDuty(difference),
    deadline: movesDeadline(difference),
  }))
  const moved = await moveTrial(db, now, trial, { looked: ids.length, upTo: ids.at(-1) ?? null, found: kept })
  return moved && ids.length > 0
}

/**
 * The rules without a draft and with it; of one that was published since, as they were before. null where it contradicts
 * what was published after it was tried.
 */
export async function changeOf(
  db: Db,
  draft: Pick<Draft, 'body' | 'effectiveFrom'>,
  now: number,
): Promise<RuleChange | null> {
  const drafted = policySchema.parse(draft.body)
  const all = [...(await loadPolicies(db)).byCode.values()].flat()
  const others = all.filter(policy => versionName(policy) !== versionName(drafted))
  const together = policiesFrom([...others, drafted])
  if (!together.ok) return null
  return { before: publishedPolicies(others), after: together.policies, from: draft.effectiveFrom, now }
}

const goneAfter = 60_000
/** Hands out again every trial whose worker is gone. */
export async function takeUpTrials({ db, clock, jobs }: Pick<Deps, 'db' | 'clock' | 'jobs'>): Promise<void> {
  for (const { id } of await leftTrials(db, clock.now() - goneAfter))
    await db.transaction(tx => jobs.enqueue(tx, 'try-rules', { trialId: id }, { key: `try-rules ${id}` }))
}

/** Whether a trial tells of this draft as it is, under the rules as they are. */
export const holdsFor = (trial: Trial | null, draft: Draft, rules: string): trial is Trial =>
  trial !== null && trial.draftVersion === draft.version && trial.rules === rules
