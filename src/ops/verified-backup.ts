import { randomBytes } from 'node:crypto'
import { stat } from 'node:fs/promises'
import { basename } from 'node:path'
import type { Clock } from '../platform/clock.ts'
import { at, type Database, sql } from '../platform/db/client.ts'
import { newId } from '../platform/ids.ts'
import { checkedManifest, type Manifest } from './archive.ts'
import { type Keys, writeBackup } from './backup.ts'
import type { Settings } from './local-settings.ts'
import { restoreBackup } from './restore.ts'

type Proved = { readonly manifest: Manifest; readonly bytes: number; readonly verified: boolean }

const log = sql(
  'backup-log',
  'insert into backup_log (id, taken_at, file_name, bytes, verified_at) values ($1, $2, $3, $4, $5)',
)

/** What an archive is of little use without: the key of the links that stand in mails already sent. */
export const backupKeys = (config: Settings): Keys => ({ LINK_KEY: config.linkKeys[0]! })

/** Takes a backup, reads it back, with `verify` restores it into a scratch database too, and notes down that it was. */
export async function verifiedBackup(
  db: Database,
  config: Settings,
  file: string,
  options: { readonly verify: boolean; readonly clock: Clock },
): Promise<Proved> {
  const takenAt = options.clock.now()
  await writeBackup(config.databaseUrl, file, backupKeys(config), takenAt)
  const manifest = await checkedManifest(file)
  if (options.verify) await restoreIntoScratch(db, config, file)
  const { size } = await stat(file)
  const verifiedAt = options.verify ? at(options.clock.now()) : null
  await db.rows(log, [newId(), at(takenAt), basename(file), size, verifiedAt])
  return { manifest, bytes: size, verified: options.verify }
}

async function restoreIntoScratch(db: Database, config: Settings, file: string): Promise<void> {
  const name = `underslab_verify_${randomBytes(6).toString('hex')}`
  const scratch = new URL(config.databaseUrl)
  scratch.pathname = `/${name}`
  await db.pool.query(`create database ${name}`).catch((cause: Error) => {
    throw new Error(
      `The backup was written but not proved: ${cause.message}. Give the database's user the right CREATEDB, ` +
        'or restore the file on another server.',
      { cause },
    )
  })
  try {
    await restoreBackup(scratch.href, file, backupKeys(config))
  } finally {
    await db.pool.query(`drop database if exists ${name} with (force)`)
  }
}
