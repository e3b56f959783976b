import { verifiedBackup } from '../ops/verified-backup.ts'
import { type Command, print, readArgs, withService } from './command.ts'

export const backupCommand: Command = {
  name: 'backup',
  summary: 'write everything into one file',
  help: `underslab backup FILE [--verify]

  FILE      a tar archive of one text file a table and a manifest; compressed when the name ends in .gz
  --verify  prove it: restore it into a scratch database on the same server, compare every table, drop that again.
            The age of the last proved backup is what doctor and the office's page watch

  The secrets (LINK_KEY and others) are not in it: keep them elsewhere. The program may go on running.`,
  async run(args) {
    const { values, positionals } = readArgs(args, { verify: { type: 'boolean', default: false } }, ['FILE'])
    const file = positionals[0]!
    await withService(async ({ db, config, clock }) => {
      const { manifest, bytes, verified } = await verifiedBackup(db, config, file, { verify: values.verify, clock })
      const rows = manifest.tables.reduce((total, table) => total + table.rows, 0)
      print(`${file}: ${manifest.tables.length} tables, ${rows} rows, ${(bytes / 1e6).toFixed(1)} MB`)
      print(
        verified ? 'Restored into a scratch database and compared: every table is equal.' : 'Not proved by restoring.',
      )
    })
  },
}
