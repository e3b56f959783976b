import { setTimeout as pause } from 'node:timers/promises'
import type { z } from 'zod'
import type { Actor } from '../../platform/auth/actor.ts'
import type { Db } from '../../platform/db/client.ts'
import { problem } from '../../platform/http/problem.ts'
import { instantText } from '../../platform/http/scalars.ts'
import { type Position, positionOf, positionText } from './position.ts'
import { type ChangeRow, changesAfter, feedHead, forgetChanges } from './queries.ts'
import type { ChangesQuery, changesOut } from './schemas.ts'

const day = 86_400_000
/** For how long a position can be continued from. */
export const keptFor = 90 * day
// Rows outlive the positions that need them: a long transaction stamps its rows before it commits them.
const margin = day
const askEveryMs = 250

type Following = { readonly app: Extract<Actor, { kind: 'app' }>; readonly now: number; readonly until: AbortSignal }

/** The changes behind a position; when there is none it waits for one, at most `wait` seconds. */
export async function followChanges(
  db: Db,
  { app, now, until }: Following,
  query: ChangesQuery,
): Promise<z.output<typeof changesOut>> {
  const from = await startOf(db, query.after, now)
  const end = performance.now() + query.wait * 1000
  for (;;) {
    const rows = query.after === 'latest' ? [] : await changesAfter(db, app, now, from, query.limit + 1)
    if (rows.length > 0 || query.after === 'latest') return presentChanges(rows, { ...from, givenAt: now }, query.limit)
    if (performance.now() >= end || until.aborted) return presentChanges([], { ...from, givenAt: now }, query.limit)
    await pause(Math.min(askEveryMs, Math.max(0, end - performance.now())), undefined, { signal: until }).catch(
      () => {},
    )
  }
}

async function startOf(db: Db, after: string | undefined, now: number): Promise<Position> {
  const { life, xmin } = await feedHead(db)
  if (after === undefined) return { life, xid: '0', seq: '0', givenAt: now }
  // Nothing below the oldest running transaction can still appear, so behind all of it is behind all that is known.
  if (after === 'latest') return { life, xid: `${BigInt(xmin) - 1n}`, seq: `${2n ** 63n - 1n}`, givenAt: now }
  const position = positionOf(after)
  if (!position)
    throw problem(400, 'malformed-position', 'The position is none of this feed.', [
      { pointer: '/after', code: 'malformed-position', detail: 'Send the `next` of an answer as it was.' },
    ])
  if (position.life !== life)
    throw problem(
      410,
      'position-gone',
      'The records were restored from a backup: read them anew, from `after=latest` on.',
    )
  if (position.givenAt < now - keptFor)
    throw problem(410, 'position-gone', 'Changes are kept for 90 days: read the records anew, from `after=latest` on.')
  return position
}

function presentChanges(rows: readonly ChangeRow[], from: Position, limit: number): z.output<typeof changesOut> {
  const behind = (row: ChangeRow): string => positionText({ ...from, xid: row.xid, seq: row.seq })
  const shown = rows.slice(0, limit)
  const last = shown.at(-1)
  return {
    items: shown.map(row => ({
      position: behind(row),
      kind: row.kind,
      noun: row.noun,
      id: row.id,
      propertyId: row.propertyId,
      version: row.version,
      occurredAt: instantText(row.at),
    })),
    next: last ? behind(last) : positionText(from),
    more: rows.length > limit,
  }
}

/** Drops changes that no position can ask for any more. */
export const forgetOldChanges = (db: Db, now: number) => forgetChanges(db, now - keptFor - margin)
