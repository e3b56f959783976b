import type pg from 'pg'

type Say = (line: string) => void

/**
 * The audit log and the change feed are ordered by transaction number. A new server counts from the start, so that its
 * writes would sort before those brought from elsewhere: let it count on until it is past them.
 */
export async function passTransactions(client: pg.ClientBase, wanted: bigint, say: Say): Promise<void> {
  const { rows } = await client.query<{ now: string }>('select pg_current_xact_id()::text as now')
  const missing = wanted - BigInt(rows[0]!.now)
  if (missing <= 0n) return
  say(`Passing ${missing} transaction numbers`)
  await client.query('set synchronous_commit = off')
  await client.query(`do $$ begin for i in 1..${missing} loop perform pg_current_xact_id(); commit; end loop; end $$`)
}
