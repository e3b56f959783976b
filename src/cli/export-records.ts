import { createWriteStream } from 'node:fs'
import { rename, rm, stat } from 'node:fs/promises'
import { sayCaution } from '../features/company/say-caution.ts'
import { takeExport } from '../ops/export/take-export.ts'
import { auditLine } from '../platform/db/audit-line.ts'
import { type Command, print, readArgs, withService } from './command.ts'

export const exportCommand: Command = {
  name: 'export',
  summary: 'write every record into one zip archive, for people and for programs',
  help: `underslab export FILE.zip

  Each table as CSV and as NDJSON, the kept files, and a description. It can be read into an empty installation with
  import. Secrets (passwords, those of apps, keys) are not in it; README.txt in it names all that is left out and what
  follows. People's names, addresses and results are in it, in the clear. The program may go on running.`,
  async run(args) {
    const { positionals } = readArgs(args, {}, ['FILE'])
    const file = positionals[0]!
    const unfinished = `${file}.unfinished`
    await withService(async ({ db, config, act }) => {
      await auditLine(db, act, 'export', 'everything')
      const taken = await takeExport(config.databaseUrl, { now: act.now, caution: await sayCaution(db) })
      try {
        const { tables, files } = await taken.writeInto(createWriteStream(unfinished, { mode: 0o600, flush: true }))
        await rename(unfinished, file)
        const rows = tables.reduce((total, table) => total + table.rows, 0)
        const { size } = await stat(file)
        print(`${file}: ${tables.length} tables, ${rows} rows, ${files.count} files, ${(size / 1e6).toFixed(1)} MB`)
      } catch (error) {
        await rm(unfinished, { force: true })
        throw error
      }
    })
  },
}
