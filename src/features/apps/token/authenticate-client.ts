import type { Db } from '../../../platform/db/client.ts'
import { isSecret } from '../client-secret.ts'
import { type AppToAuthenticate, appByClientId, markSecretUsed } from '../queries.ts'
import { OAuthError } from './oauth-error.ts'
import type { ClientCredentials } from './read-client-credentials.ts'

export type AuthenticatedClient = { readonly app: AppToAuthenticate; readonly secretId: string }

const nobodys = Buffer.alloc(32)

/** The app behind the credentials. A wrong secret and an unknown client answer alike. */
export async function authenticateClient(
  db: Db,
  credentials: ClientCredentials,
  seen: { now: number; from: string },
): Promise<AuthenticatedClient> {
  const app = await appByClientId(db, credentials.clientId)
  const candidates = app?.secrets ?? [{ id: '', hash: nobodys }]
  const fitting = candidates.filter(({ hash }) => isSecret(credentials.secret, hash))[0]
  if (!app || !fitting) throw new OAuthError('invalid_client', 'The client id or its secret is wrong.')
  await markSecretUsed(db, seen.now, fitting.id, seen.from)
  return { app, secretId: fitting.id }
}
