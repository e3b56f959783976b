import { parsePolicy } from '../../../domain/policy/parse-policy.ts'
import { policiesFrom } from '../../../domain/policy/policies-from.ts'
import type { Policy } from '../../../domain/policy/policy-schema.ts'
import type { Tx } from '../../../platform/db/client.ts'
import { type Act, recordWrite } from '../../../platform/db/record-write.ts'
import { notFound, problem, stale } from '../../../platform/http/problem.ts'
import { newId } from '../../../platform/ids.ts'
import type { Jobs } from '../../../platform/jobs/queue.ts'
import { loadPolicies, rulesPublished } from '../../../standing/load-policies.ts'
import { publishPolicy, refused } from '../publish-policy.ts'
import { lockPolicies } from '../queries.ts'
import { changeDraft, type Draft, insertDraft, lockDraft, markDropped, markPublished } from './draft-queries.ts'
import { insertTrial, latestTrial, resumeTrial, stopTrials } from './trial-queries.ts'
import { holdsFor } from './try-draft.ts'

/** Keeps a change of the rules that could be published; gives its id. 422 for one that contradicts itself or what is published. */
export async function createDraft(tx: Tx, act: Act, body: unknown, reason: string): Promise<string> {
  const policy = await publishable(tx, body)
  const id = newId()
  await insertDraft(tx, act.now, { id, body: policy, reason, staffId: staffIdOf(act) })
  await recordWrite(tx, act, { action: 'create', noun: 'policy_draft', id, version: 1 })
  return id
}

/** Writes a draft anew; what a trial of it showed no longer counts. */
export async function correctDraft(tx: Tx, act: Act, id: string, version: number, body: unknown, reason: string) {
  const was = await draftToChange(tx, id, version)
  const policy = await publishable(tx, body)
  await stopTrials(tx, id)
  await changeDraft(tx, act.now, id, policy, reason)
  const { body: before, reason: reasonBefore } = was
  const fields = ['body', 'reason']
  await recordWrite(tx, act, {
    ...{ action: 'correct', noun: 'policy_draft', id, fields, version: version + 1 },
    was: { body: before, reason: reasonBefore },
  })
}

/** Gives a draft up; it stays in the list, struck through. */
export async function dropDraft(tx: Tx, act: Act, id: string, version: number, reason: string): Promise<void> {
  await draftToChange(tx, id, version)
  await stopTrials(tx, id)
  await markDropped(tx, act.now, id, reason)
  await recordWrite(tx, act, { action: 'void', noun: 'policy_draft', id, version: version + 1, reason })
}

/** Begins to hold a draft against every home, in the background; a trial of it that is running stops. */
export async function beginTrial(tx: Tx, act: Act, jobs: Jobs, id: string, version: number): Promise<void> {
  const draft = await draftToChange(tx, id, version)
  await stopTrials(tx, id)
  const trialId = newId()
  const rules = await rulesPublished(tx)
  await insertTrial(tx, act.now, {
    id: trialId,
    draftId: id,
    draftVersion: draft.version,
    rules,
    staffId: staffIdOf(act),
  })
  await work(tx, act, jobs, trialId)
}

/** Stops the trial that is running where it is; nothing of what it found is lost. */
export async function stopTrial(tx: Tx, id: string): Promise<void> {
  await lockDraft(tx, id)
  await stopTrials(tx, id)
}

/** Goes on with the latest trial from where it stopped. */
export async function goOnWithTrial(tx: Tx, act: Act, jobs: Jobs, id: string, version: number): Promise<void> {
  await draftToChange(tx, id, version)
  const trial = await latestTrial(tx, id)
  if (trial?.draftVersion !== version) throw notFound('trial')
  await resumeTrial(tx, act.now, trial.id)
  await work(tx, act, jobs, trial.id)
}

/** Publishes what was tried: 409 unless every home was looked at for this very draft under the rules as they are. */
export async function publishDraft(tx: Tx, act: Act, id: string, version: number): Promise<void> {
  const draft = await draftToChange(tx, id, version)
  await lockPolicies(tx)
  const trial = await latestTrial(tx, id)
  if (!holdsFor(trial, draft, await rulesPublished(tx)) || trial.state !== 'finished')
    throw problem(
      409,
      'not-tried',
      'This draft was not tried on every home as it is and as the rules are; nothing was published.',
    )
  const policyId = await publishPolicy(tx, act, draft.body)
  if (policyId === null) throw problem(409, 'already-published', 'This version is published already, word for word.')
  await markPublished(tx, act.now, id, policyId)
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'policy_draft',
    id,
    version: version + 1,
    fields: ['published'],
  })
}

async function publishable(tx: Tx, body: unknown): Promise<Policy> {
  const parsed = parsePolicy(body)
  if (!parsed.ok) throw refused(parsed.problems, [])
  const kept = [...(await loadPolicies(tx)).byCode.values()].flat()
  const together = policiesFrom([...kept, parsed.policy])
  if (!together.ok) throw refused(together.problems, [parsed.policy])
  return parsed.policy
}

async function draftToChange(tx: Tx, id: string, version: number): Promise<Draft> {
  const draft = await lockDraft(tx, id)
  if (!draft) throw notFound('draft')
  if (draft.publishedAt !== null || draft.voidedAt !== null)
    throw problem(409, 'draft-closed', 'This draft was published or given up; nothing was changed.')
  if (draft.version !== version) throw stale(draft.version)
  return draft
}

const work = (tx: Tx, { requestId }: Act, jobs: Jobs, trialId: string) =>
  jobs.enqueue(tx, 'try-rules', { trialId }, { key: `try-rules ${trialId}`, requestId })

const staffIdOf = ({ actor }: Act) => (actor.kind === 'staff' ? actor.id : null)
