import type { Instant } from '../../domain/facts.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

export type App = {
  id: string
  name: string
  clientId: string
  scopes: string[]
  allHomes: boolean
  disabledAt: Instant | null
  version: number
  createdAt: Instant
}
export type Secret = {
  id: string
  createdAt: Instant
  lastUsedAt: Instant | null
  lastUsedFrom: string | null
}

const columns = `a.id, a.name, a.client_id as "clientId", a.scopes, a.all_homes as "allHomes",
  a.disabled_at as "disabledAt", a.version, a.created_at as "createdAt"`

const all = sql(
  'app-all',
  `select ${columns}, (select max(s.last_used_at) from app_secret s where s.app_id = a.id) as "lastUsedAt",
     (select count(*)::int from app_grant g where g.app_id = a.id and g."from" <= $1 and (g.until is null or g.until > $1)) as homes
   from app a order by a.disabled_at is not null, a.name, a.id`,
)
export type ListedApp = App & { lastUsedAt: Instant | null; homes: number }
/** All apps by name, the disabled ones last. */
export const listApps = (db: Db, now: number) => db.rows<ListedApp>(all, [at(now)])

const byId = sql('app-by-id', `select ${columns} from app a where a.id = $1`)
export const appById = (db: Db, appId: string) => db.one<App>(byId, [appId])

const lock = sql('app-lock', `select ${columns} from app a where a.id = $1 for update`)
export const lockApp = (tx: Tx, appId: string) => tx.one<App>(lock, [appId])

const insert = sql(
  'app-insert',
  `insert into app (id, name, client_id, scopes, all_homes, created_at, updated_at) values ($1, $2, $3, $4, $5, $6, $6)`,
)
export const insertApp = (
  tx: Tx,
  now: number,
  app: { id: string; name: string; clientId: string; scopes: readonly string[]; allHomes: boolean },
) => tx.rows(insert, [app.id, app.name, app.clientId, app.scopes, app.allHomes, at(now)])

const update = sql(
  'app-update',
  `update app set name = $2, scopes = $3, all_homes = $4, disabled_at = $5, version = version + 1, updated_at = $6
    where id = $1`,
)
export const updateApp = (tx: Tx, now: number, app: App) =>
  tx.rows(update, [
    app.id,
    app.name,
    app.scopes,
    app.allHomes,
    app.disabledAt === null ? null : at(app.disabledAt),
    at(now),
  ])

const secrets = sql(
  'app-secrets',
  `select id, created_at as "createdAt", last_used_at as "lastUsedAt", last_used_from as "lastUsedFrom"
    from app_secret where app_id = $1 and revoked_at is null order by created_at, id`,
)
/** The secrets that open, oldest first: one, or two while one takes over from the other. */
export const liveSecrets = (db: Db, appId: string) => db.rows<Secret>(secrets, [appId])

const insertOne = sql(
  'app-secret-insert',
  'insert into app_secret (id, app_id, secret_hash, created_at) values ($1, $2, $3, $4)',
)
export const insertSecret = (tx: Tx, now: number, secret: { id: string; appId: string; hash: Buffer }) =>
  tx.rows(insertOne, [secret.id, secret.appId, secret.hash, at(now)])

const revoke = sql(
  'app-secret-revoke',
  'update app_secret set revoked_at = $3 where app_id = $1 and id = $2 and revoked_at is null returning id',
)
/** Ends a secret; false when the app has no such live one. */
export const markSecretRevoked = async (tx: Tx, now: number, appId: string, secretId: string): Promise<boolean> =>
  (await tx.one(revoke, [appId, secretId, at(now)])) !== null

const byClient = sql('app-by-client', `select ${columns} from app a where a.client_id = $1`)
const hashes = sql(
  'app-secret-hashes',
  'select id, secret_hash as hash from app_secret where app_id = $1 and revoked_at is null',
)
export type AppToAuthenticate = App & { secrets: { id: string; hash: Buffer }[] }

/** An app by its client id, with the hashes of its live secrets. */
export async function appByClientId(db: Db, clientId: string): Promise<AppToAuthenticate | null> {
  const app = await db.one<App>(byClient, [clientId])
  return app && { ...app, secrets: await db.rows(hashes, [app.id]) }
}

const used = sql('app-secret-used', 'update app_secret set last_used_at = $2, last_used_from = $3 where id = $1')
export const markSecretUsed = (db: Db, now: number, secretId: string, from: string) =>
  db.rows(used, [secretId, at(now), from])
