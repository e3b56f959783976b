import { execFile } from 'node:child_process'
import { randomUUID } from 'node:crypto'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeEach, expect, it } from 'vitest'
import { loadDemo } from '../../../seed/load-demo.ts'
import { sealAllAudit, sealAudit, verifyAuditChain } from '../../../src/features/changes/seal-audit.ts'
import { systemClock } from '../../../src/platform/clock.ts'
import type { Database, Tx } from '../../../src/platform/db/client.ts'
import { recordWrite } from '../../../src/platform/db/record-write.ts'
import { anOpenDatabase } from '../../support/database.ts'
import { eventually } from '../../support/eventually.ts'
import { seeded } from '../../support/scale.ts'
import { testSecrets } from '../../support/test-config.ts'

let db: Database
let url: string
beforeEach(async () => {
  const opened = await anOpenDatabase(8)
  ;({ db, url } = opened)
  return opened.close
})

const lines = (tx: Tx, count: number) =>
  Promise.all(
    Array.from({ length: count }, () =>
      recordWrite(
        tx,
        { actor: { kind: 'system', id: null }, now: Date.parse('2026-03-02T15:00:00Z'), requestId: 'rig' },
        { action: 'create', noun: 'customer', id: randomUUID() },
      ),
    ),
  )

it('the audit log is one chain over more than a hundred rows that were sealed in several goes', async () => {
  let written = 0
  let sealed = 0
  for (const count of [1, 9, 1, 89, 12, 120, 3]) {
    await db.transaction(tx => lines(tx, count))
    written += count
    await eventually(async () => {
      sealed += await sealAudit(db)
      return sealed === written
    })
    expect(await verifyAuditChain(db)).toEqual({ whole: true, sealed, unsealed: 0 })
  }
  expect(sealed).toBe(235)
})

it('the audit log is one chain over rows of transactions that ran into each other, sealed while they ran', async () => {
  const random = seeded(3)
  let running = 4
  let goes = 0
  // Another database's open transaction holds up the sealing of this one, so they write on until it went on beside them.
  const writers = Array.from({ length: 4 }, async () => {
    for (let n = 0; n < 15 || goes < 2; n++)
      await db.transaction(async tx => {
        // Their rows take turns in the sequence, and their transactions end in another order than they began.
        for (let row = 0; row < 1 + random() * 4; row++) await lines(tx, 1)
      })
    running -= 1
  })
  while (running > 0) if ((await sealAudit(db)) > 0) goes += 1
  await Promise.all(writers)
  await eventually(async () => {
    await sealAllAudit(db)
    const found = await verifyAuditChain(db)
    expect(found).toMatchObject({ whole: true, unsealed: 0 })
  })
  const { rows } = await db.pool.query(
    `select count(*)::int as n, count(*) filter (where xid < before)::int as crossed
       from (select xid, lag(xid) over (order by seq) as before from audit) a`,
  )
  expect(goes).toBeGreaterThan(1)
  expect(rows[0].n).toBeGreaterThan(100)
  expect(rows[0].crossed).toBeGreaterThan(0)
})

it('the doctor finds the audit log of a fresh demo unbroken', async () => {
  const dataDir = await mkdtemp(join(tmpdir(), 'demo-'))
  await loadDemo(db, systemClock())
  await sealAllAudit(db)
  const found = await doctor({ DATABASE_URL: url, DATA_DIR: dataDir, ...testSecrets })
  const audit = found.find(({ part }) => part === 'audit log')
  expect(audit).toMatchObject({ state: 'fine', says: expect.stringMatching(/^\d{3,} lines in an unbroken chain/) })
  await rm(dataDir, { recursive: true, force: true })
})

/** The operator's command as a process of its own. */
async function doctor(env: Record<string, string>): Promise<{ part: string; state: string; says: string }[]> {
  const root = join(import.meta.dirname, '..', '..', '..')
  const program = ['--import', 'tsx', join(root, 'src/cli.ts'), 'doctor', '--json']
  const said = await new Promise<string>(resolve => {
    execFile(process.execPath, program, { cwd: root, env: { PATH: process.env.PATH, TZ: 'UTC', ...env } }, (_, out) =>
      resolve(out),
    )
  })
  return JSON.parse(said)
}
