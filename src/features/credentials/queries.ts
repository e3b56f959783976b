import type { Instant, LocalDay } from '../../domain/facts.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { notFound } from '../../platform/http/problem.ts'

export type CredentialColumns = {
  kind: 'licence' | 'certificate'
  /** Empty when not known. */
  issuer: string
  number: string
  /** The last day it holds; null when not known. */
  expiresOn: LocalDay | null
}
export type Credential = CredentialColumns & {
  id: string
  /** null: the company's own. */
  staffId: string | null
  holder: string | null
  version: number
  createdAt: Instant
}

const columns = `c.id, c.staff_id as "staffId", s.name as holder, c.kind, c.issuer, c.number, c.expires_on as "expiresOn",
  c.version, c.created_at as "createdAt"`

const list = sql(
  'credential-list',
  `select ${columns} from credential c left join staff s on s.id = c.staff_id
   where c.voided_at is null and s.disabled_at is null order by s.name nulls first, s.id, c.created_at, c.id`,
)
/** The company's own first, then those of the people who work for it. */
export const listCredentials = (db: Db) => db.rows<Credential>(list)

const lock = sql('credential-lock', 'select id from credential where id = $1 and voided_at is null for update')
const byId = sql(
  'credential-by-id',
  `select ${columns} from credential c left join staff s on s.id = c.staff_id where c.id = $1 and c.voided_at is null`,
)
/** Locks one that is to be changed and reads it. */
export async function lockCredential(tx: Tx, credentialId: string): Promise<Credential> {
  await tx.one(lock, [credentialId])
  const found = await tx.one<Credential>(byId, [credentialId])
  if (!found) throw notFound('credential')
  return found
}

const insert = sql(
  'credential-insert',
  `insert into credential (kind, issuer, number, expires_on, id, staff_id, created_at, updated_at)
   values ($1, $2, $3, $4, $5, $6, $7, $7)`,
)
export const insertCredential = (
  tx: Tx,
  now: number,
  { kind, issuer, number, expiresOn, id, staffId }: CredentialColumns & { id: string; staffId: string | null },
) => tx.rows(insert, [kind, issuer, number, expiresOn, id, staffId, at(now)])

const update = sql(
  'credential-update',
  `update credential set kind = $1, issuer = $2, number = $3, expires_on = $4, version = version + 1, updated_at = $6
   where id = $5`,
)
export const updateCredential = (tx: Tx, now: number, credentialId: string, said: CredentialColumns) =>
  tx.rows(update, [said.kind, said.issuer, said.number, said.expiresOn, credentialId, at(now)])

const markVoided = sql(
  'credential-void',
  'update credential set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2 where id = $1',
)
export const markCredentialVoided = (tx: Tx, now: number, credentialId: string, reason: string) =>
  tx.rows(markVoided, [credentialId, at(now), reason])

const holders = sql('credential-holders', 'select id, name from staff where disabled_at is null order by name, id')
/** Whose a credential can be beside the company's own. */
export const possibleHolders = (db: Db) => db.rows<{ id: string; name: string }>(holders)
