import { restoreBackup } from '../ops/restore.ts'
import { backupKeys } from '../ops/verified-backup.ts'
import { type Command, print, readArgs, withSettings } from './command.ts'

export const restoreCommand: Command = {
  name: 'restore',
  summary: 'read a backup into an empty database',
  help: `underslab restore FILE [--new-keys]

  --new-keys  accept that the backup was taken with other secrets: links in mails already sent will not open

  The database (DATABASE_URL, or a new DATA_DIR) must be empty. The archive is checked as a whole before anything is
  written, and everything is written in one transaction.`,
  async run(args) {
    const { values, positionals } = readArgs(args, { 'new-keys': { type: 'boolean', default: false } }, ['FILE'])
    await withSettings(async config => {
      const keys = values['new-keys'] ? null : backupKeys(config)
      const manifest = await restoreBackup(config.databaseUrl, positionals[0]!, keys, print)
      const rows = manifest.tables.reduce((total, table) => total + table.rows, 0)
      print(`Restored the state of ${manifest.takenAt}: ${manifest.tables.length} tables, ${rows} rows, all compared.`)
    })
  },
}
