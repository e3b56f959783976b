import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { notFound, problem, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { clientSecretHash, newClientId, newClientSecret } from './client-secret.ts'
import { type App, insertApp, insertSecret, liveSecrets, lockApp, markSecretRevoked, updateApp } from './queries.ts'
import type { Scope } from './scopes.ts'

export type AppInput = { readonly name: string; readonly scopes: readonly Scope[]; readonly allHomes: boolean }

/** Adds an app; its secret is given here and never again. Without `allHomes` it sees no home until one is granted. */
export async function addApp(
  tx: Tx,
  act: Act,
  input: AppInput,
): Promise<{ appId: string; clientId: string; secret: string }> {
  const app = { id: newId(), clientId: newClientId(), ...input }
  await insertApp(tx, act.now, app)
  await recordWrite(tx, act, { action: 'create', noun: 'app', id: app.id, version: 1 })
  return { appId: app.id, clientId: app.clientId, secret: await newSecret(tx, act, app.id) }
}

/** Changes an app's name, what it may do and whether it sees all homes. */
export async function changeApp(tx: Tx, act: Act, appId: string, version: number, input: AppInput): Promise<void> {
  const was = await appToChange(tx, appId, version)
  await save(tx, act, was, { ...was, ...input, scopes: [...input.scopes] }, ['name', 'scopes', 'allHomes'])
}

/** Shuts an app out, or lets it back in: no token is given, and those it has stop within seconds. */
export async function disableApp(tx: Tx, act: Act, appId: string, version: number, disabled: boolean): Promise<void> {
  const was = await appToChange(tx, appId, version)
  await save(tx, act, was, { ...was, disabledAt: disabled ? act.now : null }, ['disabledAt'])
}

/** A second secret beside the first, so that the app can change over; two at most. Given here and never again. */
export async function rotateSecret(tx: Tx, act: Act, appId: string): Promise<string> {
  if (!(await lockApp(tx, appId))) throw notFound('app')
  if ((await liveSecrets(tx, appId)).length >= 2)
    throw problem(409, 'two-secrets', 'This app has two secrets already: end one that is no longer used first.')
  await recordWrite(tx, act, { action: 'correct', noun: 'app', id: appId, fields: ['secret'] })
  return newSecret(tx, act, appId)
}

/** Ends one secret. Tokens it was exchanged for live on until they expire. */
export async function revokeSecret(tx: Tx, act: Act, appId: string, secretId: string): Promise<void> {
  if (!(await markSecretRevoked(tx, act.now, appId, secretId))) throw notFound('secret')
  await recordWrite(tx, act, { action: 'correct', noun: 'app', id: appId, fields: ['secret'] })
}

async function newSecret(tx: Tx, act: Act, appId: string): Promise<string> {
  const secret = newClientSecret()
  await insertSecret(tx, act.now, { id: newId(), appId, hash: clientSecretHash(secret) })
  return secret
}

async function appToChange(tx: Tx, appId: string, version: number): Promise<App> {
  const app = await lockApp(tx, appId)
  if (!app) throw notFound('app')
  if (app.version !== version) throw stale(app.version)
  return app
}

async function save(tx: Tx, act: Act, was: App, now: App, fields: string[]): Promise<void> {
  await updateApp(tx, act.now, now)
  await recordWrite(tx, act, { action: 'correct', noun: 'app', id: was.id, version: was.version + 1, fields, was })
}
