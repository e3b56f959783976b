import { createHash } from 'node:crypto'
import type { Actor } from '../../platform/auth/actor.ts'
import { at, type Db, sql } from '../../platform/db/client.ts'
import type { TokenIssuer } from './token/issue-token.ts'
import { endToken } from './token/revoke-token.ts'
import { hasLapsed, type TokenClaims, verifyToken } from './token/verify-token.ts'

/** For how long an answer of the database is believed: what the owner or the app withdraws holds after this. */
const believedMs = 2_000
const mostTokens = 5_000

type AppState = {
  id: string
  name: string
  scopes: string[]
  allHomes: boolean
  disabled: boolean
  secretIds: string[]
  revoked: string[]
}

const state = sql(
  'app-state',
  `select a.id, a.name, a.scopes, a.all_homes as "allHomes", a.disabled_at is not null as disabled,
     array(select s.id from app_secret s where s.app_id = a.id and s.revoked_at is null) as "secretIds",
     array(select r.jti from revoked_token r where r.expires_at > $2) as revoked
   from app a where a.client_id = $1`,
)

export type AppOfToken = (token: string, now: number) => Promise<Extract<Actor, { kind: 'app' }> | null>

/**
 * Tells whose access token one is, now: as its app stands, with the scopes that both still hold, or null. A signature is
 * checked once a token and an app is read once in two seconds, by the process's own clock.
 */
export function appOfToken(db: Db, issuer: TokenIssuer): AppOfToken {
  // Null where a token was seen lapsed: it stays so, whatever becomes of the clock.
  const verified = new Map<string, TokenClaims | null>()
  const states = new Map<string, { readonly at: number; readonly state: Promise<AppState | null> }>()

  async function claimsOf(token: string, now: number): Promise<TokenClaims | null> {
    const key = createHash('sha256').update(token).digest('base64')
    const known = verified.get(key)
    if (known === null || (known && !hasLapsed(known, now))) return known
    const claims = known ?? (await verifyToken(issuer, token, now))
    if (claims === null) return null
    const lapsed = hasLapsed(claims, now)
    if (lapsed) await endToken(db, claims)
    if (verified.size >= mostTokens) verified.clear()
    verified.set(key, lapsed ? null : claims)
    return lapsed ? null : claims
  }

  function stateOf(clientId: string, now: number): Promise<AppState | null> {
    const kept = states.get(clientId)
    if (kept && performance.now() < kept.at + believedMs) return kept.state
    const asked = db.one<AppState>(state, [clientId, at(now)])
    asked.catch(() => states.delete(clientId))
    states.set(clientId, { at: performance.now(), state: asked })
    return asked
  }

  return async (token, now) => {
    const claims = await claimsOf(token, now)
    const app = claims && (await stateOf(claims.clientId, now))
    if (!app || app.disabled || app.revoked.includes(claims.jti) || !app.secretIds.includes(claims.secretId))
      return null
    const scopes = claims.scopes.filter(scope => app.scopes.includes(scope))
    return { kind: 'app', id: app.id, name: app.name, scopes, allHomes: app.allHomes }
  }
}
