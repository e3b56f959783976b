import { type Settled, settleExport } from '../intake/settle-export.ts'
import { importExport } from '../ops/export/import-export.ts'
import type { Settings } from '../ops/local-settings.ts'
import { systemClock } from '../platform/clock.ts'
import type { Act } from '../platform/db/record-write.ts'
import { newId } from '../platform/ids.ts'
import { paths } from '../web/paths.ts'
import { type Command, print, readArgs, withSettings } from './command.ts'

export const importCommand: Command = {
  name: 'import',
  summary: 'read what export wrote into an empty installation',
  help: `underslab import FILE.zip

  The installation (DATABASE_URL, or a new DATA_DIR) must be empty: nobody added, no records. The archive is checked as a
  whole before anything is written, and everything is written in one transaction; each home's standing is reckoned
  again and compared. Reminders stay paused, mails that waited are held. Owners get a link to choose a password,
  printed once.`,
  async run(args) {
    const { positionals } = readArgs(args, {}, ['FILE'])
    await withSettings(async config => {
      const now = systemClock().now()
      const act: Act = { actor: { kind: 'operator', id: null }, now, requestId: `operator ${newId()}` }
      const { description, settled } = await importExport(
        config.databaseUrl,
        positionals[0]!,
        (tx, { takenAt }) => settleExport(tx, act, Date.parse(takenAt)),
        print,
      )
      const rows = description.tables.reduce((total, table) => total + table.rows, 0)
      print(`Read in the state of ${description.takenAt}: ${rows} rows, ${description.files.count} files.`)
      sayWhatFollows(config, settled)
    })
  },
}

function sayWhatFollows(config: Settings, { standings, held, owners }: Settled): void {
  print(`${standings.equal} standings were reckoned again and are equal; ${standings.due} are due to be anyway.`)
  print(`Reminders are paused until an owner releases them. ${held} mails that waited are held in the outbox.`)
  print('People are invited anew under “People of the company”, apps get a new secret under “Apps”.')
  for (const { email, secret } of owners)
    print(`${email} chooses a password here, within an hour and once: ${config.publicUrl}${paths.setPassword(secret)}`)
}
