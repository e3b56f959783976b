import { at, type Database, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { type AuditRow, chainStart, linkHash } from './audit-chain.ts'

const columns = `seq::text, at, actor_kind as "actorKind", actor_id as "actorId", action, noun, noun_id as "nounId",
  property_id as "propertyId", fields, request_id as "requestId"`
const batch = 2_000

const onlyOne = sql('seal-lock', `select pg_try_advisory_xact_lock(hashtextextended('seal audit', 0)) as mine`)
const last = sql('seal-last', 'select hash from audit where hash is not null order by xid desc, seq desc limit 1')

// Below the oldest running transaction nothing can appear any more, so the order (xid, seq) is final there. The table's
// own seq is meant: the text that is selected under that name would put 100 before 99.
const unsealed = sql(
  'seal-unsealed',
  `select ${columns} from audit where hash is null and xid < pg_snapshot_xmin(pg_current_snapshot())
    order by audit.xid, audit.seq limit ${batch}`,
)
const seal = sql(
  'seal-rows',
  `update audit a set hash = s.hash from unnest($1::bigint[], $2::bytea[]) as s (seq, hash)
    where a.seq = s.seq and a.hash is null`,
)

/** Chains the audit rows that are final, in their order; gives how many. One process at a time, the others do nothing. */
export const sealAudit = (db: Database): Promise<number> =>
  db.transaction(async tx => {
    const { mine } = (await tx.one<{ mine: boolean }>(onlyOne))!
    return mine ? sealBatch(tx) : 0
  })

async function sealBatch(tx: Tx): Promise<number> {
  const rows = await tx.rows<AuditRow>(unsealed)
  let hash = (await tx.one<{ hash: Buffer }>(last))?.hash ?? chainStart
  const hashes: Buffer[] = []
  for (const row of rows) {
    hash = linkHash(hash, row)
    hashes.push(hash)
  }
  if (rows.length > 0) await tx.rows(seal, [rows.map(row => row.seq), hashes])
  return rows.length
}

/** Chains everything that is final, batch by batch. */
export async function sealAllAudit(db: Database): Promise<number> {
  let sealed = 0
  for (;;) {
    const now = await sealAudit(db)
    sealed += now
    if (now < batch) return sealed
  }
}

export type AuditChain =
  | { readonly whole: true; readonly sealed: number; readonly unsealed: number }
  | { readonly whole: false; readonly brokenAt: { readonly seq: string; readonly at: number } }

const sealedAfter = sql(
  'verify-sealed',
  `select ${columns}, xid::text, hash from audit
    where hash is not null and (xid, seq) > ($1::text::xid8, $2::bigint) order by audit.xid, audit.seq limit 5000`,
)
const open = sql('verify-open', 'select count(*)::int as n from audit where hash is null')
const openSince = sql('verify-open-since', 'select count(*)::int as n from audit where hash is null and at < $1')

/** Reckons the whole chain again and tells at which row it first does not fit: a row altered, taken out or put in. */
export async function verifyAuditChain(db: Db): Promise<AuditChain> {
  let before = chainStart
  let from = { xid: '0', seq: '0' }
  let sealed = 0
  for (;;) {
    const rows = await db.rows<AuditRow & { xid: string; hash: Buffer }>(sealedAfter, [from.xid, from.seq])
    for (const row of rows) {
      const hash = linkHash(before, row)
      if (!hash.equals(row.hash)) return { whole: false, brokenAt: { seq: row.seq, at: row.at } }
      before = hash
    }
    sealed += rows.length
    const end = rows.at(-1)
    if (!end) return { whole: true, sealed, unsealed: (await db.one<{ n: number }>(open))?.n ?? 0 }
    from = end
  }
}

/** Audit rows that should long have been sealed: the sealer is not running, or one transaction holds it back. */
export const unsealedSince = async (db: Db, since: number): Promise<number> =>
  (await db.one<{ n: number }>(openSince, [at(since)]))?.n ?? 0
