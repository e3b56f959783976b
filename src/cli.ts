import { addAppCommand } from './cli/add-app.ts'
import { addUser } from './cli/add-user.ts'
import { backupCommand } from './cli/back-up.ts'
import { type Command, print, WrongCall } from './cli/command.ts'
import { doctorCommand } from './cli/doctor.ts'
import { exportCommand } from './cli/export-records.ts'
import { importCommand } from './cli/import-records.ts'
import { migrateCommand } from './cli/migrate-database.ts'
import { restoreCommand } from './cli/restore.ts'
import { seedCommand } from './cli/seed.ts'
import { faultInWords } from './ops/fault-in-words.ts'

const commands: readonly Command[] = [
  addUser,
  addAppCommand,
  migrateCommand,
  seedCommand,
  backupCommand,
  restoreCommand,
  exportCommand,
  importCommand,
  doctorCommand,
]

/** Runs the command that the words name; gives the exit code: 0, 1 when it failed, 2 when it was called wrongly. */
async function runCommand(words: readonly string[]): Promise<number> {
  const command = commands.find(({ name }) => `${words.join(' ')} `.startsWith(`${name} `))
  if (!command) {
    const asked = words.length === 0 || words[0] === 'help' || words[0] === '--help'
    printOverview(asked ? '' : `There is no command “${words.join(' ')}”.`)
    return asked ? 0 : 2
  }
  const args = words.slice(command.name.split(' ').length)
  if (args.includes('--help')) {
    print(command.help)
    return 0
  }
  try {
    await command.run(args)
    return 0
  } catch (error) {
    console.error(faultInWords(error))
    if (error instanceof WrongCall) console.error(`\n${command.help}`)
    return error instanceof WrongCall ? 2 : 1
  }
}

function printOverview(complaint: string): void {
  if (complaint) console.error(complaint)
  print('underslab COMMAND, from the source folder: npm run underslab -- COMMAND\n')
  for (const { name, summary } of commands) print(`  ${name.padEnd(10)} ${summary}`)
  print('\nEach says more with --help. Settings come from the environment, as for the program itself.')
}

process.exitCode = (await runCommand(process.argv.slice(2))) || Number(process.exitCode ?? 0)
