import type { LedgerLine } from './mail-sink.ts'
import type { Sql } from './rows.ts'

export type Reckoning = {
  /** Notices the database calls sent, or that should be, of which no server ever took a copy. */
  readonly lost: readonly string[]
  /** Copies beyond the first of one message. */
  readonly duplicated: readonly { readonly messageId: string; readonly copies: number }[]
  /** One notice under two Message-IDs: never allowed. */
  readonly renamed: readonly string[]
  /** Messages a server took that no row explains. */
  readonly unexplained: readonly string[]
  readonly accepted: number
}

type MailRow = { id: string; message_id: string; state: string; to_address: string }

/** Compares what the mail server wrote down with what the database says was sent. */
export async function reconcileMail(db: Sql, ledger: readonly LedgerLine[]): Promise<Reckoning> {
  const { rows } = await db.query<MailRow>('select id, message_id, state, to_address from mail')
  const copies = new Map<string, number>()
  for (const line of ledger) copies.set(line.messageId, (copies.get(line.messageId) ?? 0) + 1)
  const known = new Set(rows.map(row => row.message_id))
  const notices = await db.query<{ notice_id: string; ids: number }>(
    `select n.obligation_id || '/' || n.rung || '/' || n.round as notice_id, count(distinct m.message_id)::int as ids
     from notice n join mail m on m.id = n.mail_id group by 1 having count(distinct m.message_id) > 1`,
  )
  return {
    lost: rows.filter(row => row.state === 'sent' && !copies.has(row.message_id)).map(row => row.message_id),
    duplicated: [...copies].filter(([, n]) => n > 1).map(([messageId, n]) => ({ messageId, copies: n })),
    renamed: notices.rows.map(row => row.notice_id),
    unexplained: [...copies.keys()].filter(messageId => !known.has(messageId)),
    accepted: ledger.length,
  }
}

/** A digest of every row of every table of the product but the counts of requests, to show that something changed nothing. */
export async function databaseDigest(db: Sql, except: readonly string[] = []): Promise<Record<string, string>> {
  const { rows: tables } = await db.query<{ name: string }>(
    `select table_name as name from information_schema.tables
     where table_schema = 'public' and table_type = 'BASE TABLE' and table_name <> 'rate_count' order by 1`,
  )
  const digest: Record<string, string> = {}
  for (const { name } of tables) {
    if (except.includes(name)) continue
    const { rows } = await db.query<{ digest: string }>(
      `select count(*) || ' ' || coalesce(md5(string_agg(line, E'\\n' order by line)), '') as digest
       from (select t::text as line from "${name}" t) lines`,
    )
    digest[name] = rows[0]!.digest
  }
  return digest
}

/** The tables whose digests differ. */
export const changedTables = (before: Record<string, string>, after: Record<string, string>): string[] =>
  Object.keys({ ...before, ...after }).filter(name => before[name] !== after[name])
