import { type Command, print, readArgs, WrongCall, withService } from './command.ts'

export const seedCommand: Command = {
  name: 'seed',
  summary: 'load the invented demo company into an empty database',
  help: `underslab seed

  Twelve invented homes in four jurisdictions with ten years of history, relative to today. Only into an empty database,
  and not in production.`,
  async run(args) {
    readArgs(args, {}, [])
    await withService(async ({ db, config, clock }) => {
      if (config.production)
        throw new WrongCall('The demo is not for production: its passwords are known to everybody.')
      const { loadDemo } = await import('../../seed/load-demo.ts')
      const signIns = await loadDemo(db, clock)
      for (const { email, password, roles } of signIns) print(`${email}  ${password}  ${roles.join(', ')}`)
    })
  },
}
