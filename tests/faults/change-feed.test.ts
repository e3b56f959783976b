import { randomUUID } from 'node:crypto'
import { setTimeout as pause } from 'node:timers/promises'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { followChanges } from '../../src/features/changes/follow-changes.ts'
import type { Actor } from '../../src/platform/auth/actor.ts'
import { type Database, sql } from '../../src/platform/db/client.ts'
import { recordWrite } from '../../src/platform/db/record-write.ts'
import { anOpenDatabase } from '../support/database.ts'
import { figures, seeded, size } from '../support/scale.ts'

const writers = 8
const perWriter = size(150, 1250)
const app: Extract<Actor, { kind: 'app' }> = {
  kind: 'app',
  id: randomUUID(),
  name: 'Reader',
  scopes: ['customers:read', 'changes:read'],
  allHomes: true,
}
const now = Date.parse('2026-03-02T15:00:00Z')

let db: Database
let close: () => Promise<void>
beforeAll(async () => {
  const opened = await anOpenDatabase(writers + 4)
  db = opened.db
  close = opened.close
})
afterAll(() => close())

/** Takes a position in the feed, dawdles, and commits behind others that took theirs later. */
async function write(random: () => number): Promise<string> {
  const id = randomUUID()
  await db.transaction(async tx => {
    await recordWrite(
      tx,
      { actor: { kind: 'system', id: null }, now, requestId: '' },
      { action: 'create', noun: 'customer', id, version: 1 },
    )
    await pause(random() * 6)
  })
  return id
}

async function readAll(
  done: () => Promise<boolean>,
  poll: () => Promise<{ ids: readonly string[]; more: boolean }>,
): Promise<string[]> {
  const ids: string[] = []
  for (;;) {
    const last = await done()
    const page = await poll()
    ids.push(...page.ids)
    if (last && page.ids.length === 0) return ids
  }
}

it('F11: shows every change once to a reader that polls while eight writers commit out of order', async () => {
  let written = 0
  const all = Promise.all(
    Array.from({ length: writers }, async (_, writer) => {
      const random = seeded(writer + 1)
      const ids: string[] = []
      for (let n = 0; n < perWriter; n++) ids.push(await write(random))
      written += 1
      return ids
    }),
  )
  // What was written last is shown once no older transaction of the whole server runs, of another database's neither.
  const nothingOlder = sql(
    'rig-nothing-older',
    'select pg_snapshot_xmin(pg_current_snapshot()) > (select xid from change order by xid desc limit 1) as yes',
  )
  const done = async () => written === writers && (await db.one<{ yes: boolean }>(nothingOlder))!.yes

  let after: string | undefined
  const order = new Map<string, string>()
  const following = readAll(done, async () => {
    const page = await followChanges(
      db,
      { app, now, until: AbortSignal.timeout(600_000) },
      { after, limit: 20, wait: 0 },
    )
    after = page.next
    for (const item of page.items) order.set(item.position, item.id)
    return { ids: page.items.map(item => item.id), more: page.more }
  })
  // The same rows read by sequence alone, as many feeds do: what the hostile timing would have cost.
  let seq = '0'
  const bySequence = sql(
    'rig-naive-feed',
    'select seq::text, noun_id as id from change where seq > $1::bigint order by seq limit 20',
  )
  const naive = readAll(done, async () => {
    const rows = await db.rows<{ seq: string; id: string }>(bySequence, [seq])
    seq = rows.at(-1)?.seq ?? seq
    return { ids: rows.map(row => row.id), more: false }
  })

  const ids = (await all).flat()
  const read = await following
  const naiveRead = new Set(await naive)
  const missed = ids.filter(id => !read.includes(id)).length
  const naiveMissed = ids.filter(id => !naiveRead.has(id)).length
  figures('F11', {
    changes: ids.length,
    missed,
    repeated: read.length - new Set(read).size,
    'missed by sequence alone': naiveMissed,
  })
  expect(missed).toBe(0)
  expect(read).toHaveLength(ids.length)
  expect(naiveMissed).toBeGreaterThan(0)

  // Read again from the start, the feed has the same order.
  const again = await followChanges(
    db,
    { app, now, until: AbortSignal.timeout(600_000) },
    { after: undefined, limit: ids.length + 1, wait: 0 },
  )
  expect(again.items.map(item => item.id)).toEqual([...order.values()])
})
