import { saidGroups } from '../../src/domain/policy/draft-change.ts'
import { draftSections } from '../../src/features/policies/drafts/draft-fields.ts'
import { beginTrial, createDraft } from '../../src/features/policies/drafts/keep-draft.ts'
import { chainIn, fieldsOf, readDraftForm } from '../../src/features/policies/drafts/read-draft-form.ts'
import { latestTrial } from '../../src/features/policies/drafts/trial-queries.ts'
import { tryDraftJob } from '../../src/features/policies/drafts/try-draft.ts'
import { loadPolicies } from '../../src/standing/load-policies.ts'
import type { TestApp } from './test-app.ts'

/** A draft that lowers the level of the United States, held against every home there is; gives its id. */
export async function aRuleDraft({ db, clock, jobs }: TestApp): Promise<string> {
  const now = clock.now()
  const act = { actor: { kind: 'operator', id: null }, now, requestId: 'rig' } as const
  const today = new Date(now).toISOString().slice(0, 10)
  const chain = chainIn(await loadPolicies(db), 'US', today)!
  const typed = { ...fieldsOf(chain, chain[0], ''), from: today, source: 'Ordinance of an invented state', clause: '4' }
  const [level] = draftSections(saidGroups(chain))[0]!.fields
  const read = readDraftForm({ ...typed, [level!.name]: '2.5' }, { chain, today, reading: { now, zone: 'UTC' } })
  if ('faults' in read) throw new Error(JSON.stringify(read.faults))
  const id = await db.transaction(tx => createDraft(tx, act, read.body, 'To see who is affected'))
  await db.transaction(tx => beginTrial(tx, act, jobs, id, 1))
  await tryDraftJob({ db, clock })({ trialId: (await latestTrial(db, id))!.id }, 'rig')
  return id
}
