import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import {
  type Credential,
  type CredentialColumns,
  insertCredential,
  lockCredential,
  markCredentialVoided,
  possibleHolders,
  updateCredential,
} from './queries.ts'

/** Records a licence or certificate of the company, or of one of its people; gives its id. */
export async function recordCredential(
  tx: Tx,
  act: Act,
  staffId: string | null,
  said: CredentialColumns,
): Promise<string> {
  if (staffId !== null && !(await possibleHolders(tx)).some(({ id }) => id === staffId))
    throw problem(422, 'impossible', 'Nobody of the company has this id; nothing was saved.', [
      { pointer: '/holder', code: 'unknown-reference', detail: 'does not work here: choose one who is listed' },
    ])
  const id = newId()
  await insertCredential(tx, act.now, { ...said, id, staffId })
  await recordWrite(tx, act, { action: 'create', noun: 'credential', id, version: 1 })
  return id
}

/** Corrects one, or enters its renewal; what it said before stays on record. */
export async function correctCredential(
  tx: Tx,
  act: Act,
  credentialId: string,
  version: number,
  said: CredentialColumns,
): Promise<void> {
  const was = await credentialToChange(tx, credentialId, version)
  await updateCredential(tx, act.now, credentialId, said)
  const fields = (Object.keys(said) as (keyof CredentialColumns)[]).filter(name => said[name] !== was[name])
  await recordWrite(tx, act, { action: 'correct', noun: 'credential', id: was.id, version: version + 1, fields, was })
}

/** Takes one out that was given up or entered wrongly. */
export async function voidCredential(
  tx: Tx,
  act: Act,
  credentialId: string,
  version: number,
  reason: string,
): Promise<void> {
  const was = await credentialToChange(tx, credentialId, version)
  await markCredentialVoided(tx, act.now, credentialId, reason)
  await recordWrite(tx, act, { action: 'void', noun: 'credential', id: was.id, version: version + 1, reason, was })
}

async function credentialToChange(tx: Tx, credentialId: string, version: number): Promise<Credential> {
  const credential = await lockCredential(tx, credentialId)
  if (credential.version !== version) throw stale(credential.version)
  return credential
}
