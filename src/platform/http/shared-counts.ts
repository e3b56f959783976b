import { setTimeout as pause } from 'node:timers/promises'
import type { FastifyRateLimitStore, FastifyRateLimitStoreCtor } from '@fastify/rate-limit'
import { type Db, sql } from '../db/client.ts'
import type { Logger } from '../log.ts'

/** How many requests a process takes at once of those a caller has left: ever fewer, so that the last are single. */
const shareOf = (left: number): number => Math.min(left, Math.max(1, Math.min(20, Math.floor(left / 30))))

// A window begins with the first request; the database's clock is the one that all processes share. The share is
// `shareOf` what is left.
const take = sql(
  'rates-take',
  `insert into rate_count as c (key, taken, granted, ends_at)
   select $1, share, share, now() + $3 * interval '1 millisecond'
     from (select least($2::int, greatest(1, least(20, $2::int / 30))) as share) first
   on conflict (key) do update set (taken, granted, ends_at) = (
     select past + share, share, ending from
       (select case when c.ends_at <= now() then 0 else c.taken end as past,
          case when c.ends_at <= now() then excluded.ends_at else c.ends_at end as ending) w,
       lateral (select least($2 - past, greatest(1, least(20, ($2 - past) / 30))) as share) s)
   returning taken, granted, greatest(1, extract(epoch from ends_at - now()) * 1000)::float as ms`,
)
type Taken = { taken: number; granted: number; ms: number }

const forget = sql('rates-forget', 'delete from rate_count where ends_at <= now()')
/** Drops counts whose window is over. */
export const forgetCounts = (db: Db) => db.rows(forget)

/** What this process holds of a caller's window. */
type Held = { left: number; taken: number; endsAt: number; asking: Promise<void> | null }

const mostCallers = 20_000
/** How long a request waits for the count of all processes, ms; then this process counts alone. */
const patience = 1000

/**
 * Counts requests over all processes on one database, at a statement for up to twenty of them: a process takes a share
 * of what a caller has left and spends it from memory. Together they never let more through than the limit; what a
 * process took and had no use for is missing at the end of the window, at most nineteen of six hundred.
 */
export function sharedCounts(db: Db, log: Logger): FastifyRateLimitStoreCtor {
  const callers = new Map<string, Held>()

  function heldOf(key: string): Held {
    const known = callers.get(key)
    if (known) return known
    // The one that came first is the likeliest to be over.
    if (callers.size >= mostCallers) callers.delete(callers.keys().next().value!)
    const fresh = { left: 0, taken: 0, endsAt: 0, asking: null }
    callers.set(key, fresh)
    return fresh
  }

  async function ask(key: string, held: Held, max: number, windowMs: number): Promise<void> {
    const asked = db.one<Taken>(take, [key, max, windowMs]).catch((error: unknown) => {
      log.warn({ err: error }, 'requests are counted by this process alone')
      return null
    })
    const taken = await Promise.race([asked, pause(patience, null, { ref: false })])
    const now = performance.now()
    if (taken) Object.assign(held, { left: taken.granted, taken: taken.taken, endsAt: now + taken.ms })
    else {
      if (now >= held.endsAt) Object.assign(held, { taken: 0, endsAt: now + windowMs })
      held.left = shareOf(max - held.taken)
      held.taken += held.left
    }
  }

  async function count(key: string, max: number, windowMs: number): Promise<{ current: number; ttl: number }> {
    const held = heldOf(key)
    for (;;) {
      const ttl = held.endsAt - performance.now()
      if (ttl > 0 && held.left > 0) {
        held.left -= 1
        return { current: held.taken - held.left, ttl }
      }
      if (ttl > 0 && held.taken >= max) return { current: max + 1, ttl }
      held.asking ??= ask(key, held, max, windowMs).finally(() => {
        held.asking = null
      })
      await held.asking
    }
  }

  return class implements FastifyRateLimitStore {
    incr(key: string, tell: Parameters<FastifyRateLimitStore['incr']>[1], windowMs: number, max: number): void {
      count(key, max, windowMs).then(counted => tell(null, counted), tell)
    }
    child() {
      return this
    }
  }
}
