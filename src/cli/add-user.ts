import { text } from 'node:stream/consumers'
import { setUpCompany } from '../features/company/change-company.ts'
import { addStaff, setupSecret } from '../features/staff/add-staff.ts'
import { passwordFault } from '../features/staff/password-faults.ts'
import { passwordHashOf } from '../features/staff/password-hash.ts'
import type { Role } from '../platform/auth/actor.ts'
import { paths } from '../web/paths.ts'
import { type Command, print, readArgs, WrongCall, withService } from './command.ts'

const roles: readonly Role[] = ['owner', 'office', 'crew']
const isRole = (word: string): word is Role => roles.some(role => role === word)

const options = {
  email: { type: 'string' },
  name: { type: 'string' },
  role: { type: 'string', multiple: true },
  'password-stdin': { type: 'boolean', default: false },
} as const

export const addUser: Command = {
  name: 'user add',
  summary: 'add a person of the company, the first owner included',
  help: `underslab user add --email ADDRESS --name NAME --role ROLE [--role ROLE …] [--password-stdin]

  --role            owner, office or crew; one person may hold several
  --password-stdin  read the password from standard input; without it, a link is printed that opens once, for an hour,
                    for the person to choose their own

  underslab user add --email dana@clearwell.example --name "Dana Reyes" --role owner --role office`,
  async run(args) {
    const { values } = readArgs(args, options, [])
    const { email, name } = values
    if (!email || !/^[^\s@]+@[^\s@]+$/.test(email)) throw new WrongCall('--email needs a mail address.')
    if (!name?.trim()) throw new WrongCall('--name is missing.')
    const held = (values.role ?? []).flatMap(word => word.split(','))
    if (held.length === 0 || !held.every(isRole)) throw new WrongCall(`--role needs one of ${roles.join(', ')}.`)
    const password = values['password-stdin'] ? (await text(process.stdin)).replace(/\r?\n$/, '') : null
    const fault = password === null ? null : await passwordFault(password, [email, name])
    if (fault) throw new Error(`The password ${fault.detail}.`)
    const passwordHash = password === null ? null : await passwordHashOf(password)
    await withService(async ({ db, config, act }) => {
      const secret = await db.transaction(async tx => {
        await setUpCompany(tx, act)
        const id = await addStaff(tx, act, { email, name: name.trim(), roles: held, passwordHash })
        return passwordHash ? null : setupSecret(tx, act.now, id)
      })
      print(`${name.trim()} can sign in with ${email.trim().toLowerCase()}.`)
      if (secret)
        print(`To choose a password, within an hour and once: ${config.publicUrl}${paths.setPassword(secret)}`)
    })
  },
}
