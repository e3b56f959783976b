import { migrate } from '../ops/migrate.ts'
import { type Command, print, readArgs, withSettings } from './command.ts'

export const migrateCommand: Command = {
  name: 'migrate',
  summary: 'bring the database to the level of this program',
  help: `underslab migrate

  All pending migrations are applied in one transaction: all of them, or none. Starting the program does the same.`,
  async run(args) {
    readArgs(args, {}, [])
    await withSettings(async config => {
      const { applied, level } = await migrate(config.databaseUrl, print)
      print(applied.length === 0 ? `Nothing to do: the database is at ${level}.` : `The database is now at ${level}.`)
    })
  },
}
