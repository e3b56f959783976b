import { addApp } from '../features/apps/change-app.ts'
import { allScopes, isScope } from '../features/apps/scopes.ts'
import { type Command, print, readArgs, WrongCall, withService } from './command.ts'

const options = {
  name: { type: 'string' },
  scope: { type: 'string', multiple: true },
  'all-homes': { type: 'boolean', default: false },
  json: { type: 'boolean', default: false },
} as const

export const addAppCommand: Command = {
  name: 'app add',
  summary: 'let a program use the API; prints its client id and secret once',
  help: `underslab app add --name NAME --scope SCOPE [--scope SCOPE …] [--all-homes] [--json]

  --scope      ${allScopes.join(', ')}
  --all-homes  it may see every home; without it, the owner grants it homes one by one
  --json       print one JSON object: {"appId", "clientId", "clientSecret", "tokenUrl"}

  underslab app add --name "Bookkeeping" --scope customers:read --scope properties:read --all-homes`,
  async run(args) {
    const { values } = readArgs(args, options, [])
    const name = values.name?.trim()
    if (!name) throw new WrongCall('--name is missing.')
    const scopes = (values.scope ?? []).flatMap(word => word.split(/[\s,]+/)).filter(Boolean)
    const unknown = scopes.filter(scope => !isScope(scope))
    if (unknown.length > 0) throw new WrongCall(`There is no scope ${unknown.join(', ')}.`)
    if (scopes.length === 0) throw new WrongCall('--scope is missing: without one the app could do nothing.')
    await withService(async ({ db, config, act }) => {
      const input = { name, scopes: scopes.filter(isScope), allHomes: values['all-homes'] }
      const { appId, clientId, secret } = await db.transaction(tx => addApp(tx, act, input))
      const tokenUrl = `${config.publicUrl}/oauth/token`
      if (values.json) return print(JSON.stringify({ appId, clientId, clientSecret: secret, tokenUrl }))
      print(`client id      ${clientId}`)
      print(`client secret  ${secret}`)
      print('The secret is shown this once; only its hash is kept.')
    })
  },
}
