import type { FastifyInstance } from 'fastify'
import request, { type Agent, type Test } from 'supertest'
import { addApp } from '../../src/features/apps/change-app.ts'
import { grantHome } from '../../src/features/apps/grant-home.ts'
import { allScopes, type Scope } from '../../src/features/apps/scopes.ts'
import { newSessionSecret, sessionHashOf } from '../../src/features/staff/find-session.ts'
import { insertSession } from '../../src/features/staff/session-queries.ts'
import type { Role } from '../../src/platform/auth/actor.ts'
import { sessionCookieName } from '../../src/platform/auth/cookies.ts'
import { csrfTokenFor } from '../../src/platform/auth/csrf.ts'
import type { Deps } from '../../src/platform/deps.ts'
import { newId } from '../../src/platform/ids.ts'
import { aStaffMember } from './rows.ts'

export type Cookie = { readonly name: string; readonly value: string }

/** A browser of somebody signed in, without the browser. */
export type Person = {
  readonly id: string
  readonly cookie: Cookie
  readonly csrf: string
  /** supertest with the session's cookie on every request. */
  readonly agent: Agent
  get(path: string): Test
  /** Sends a form as a page of this session would: with its token and a key of its own unless one is given. */
  submit(path: string, fields?: Readonly<Record<string, unknown>>): Test
}

/** A third party's program with a token of its own. */
export type Program = {
  readonly id: string
  readonly clientId: string
  readonly secret: string
  readonly token: string
  readonly agent: Agent
  get(path: string): Test
  /** A creating POST with a fresh Idempotency-Key unless one is given. */
  post(path: string, body?: object, key?: string): Test
  patch(path: string, body: object, version: number | string): Test
}

export type Actors = {
  owner(): Promise<Person>
  office(): Promise<Person>
  crew(): Promise<Person>
  staff(roles: readonly Role[], over?: Readonly<Record<string, unknown>>): Promise<Person>
  /** All scopes and all homes unless said otherwise; `homes` grants just these. */
  app(options?: { scopes?: readonly Scope[]; homes?: readonly string[] }): Promise<Program>
  /** Nobody: no cookie, no token. */
  readonly anonymous: Agent
}

export function actorsOn(app: FastifyInstance, { db, clock, config }: Deps): Actors {
  const system = () => ({ actor: { kind: 'operator', id: null }, now: clock.now(), requestId: 'test' }) as const

  async function staff(roles: readonly Role[], over = {}): Promise<Person> {
    const row = await aStaffMember(db.pool, { roles, name: `${roles[0]} person`, ...over })
    const secret = newSessionSecret()
    const sessionId = newId()
    await insertSession(db, clock.now(), {
      idHash: sessionHashOf(secret),
      id: sessionId,
      staffId: row.id,
      userAgent: 'test',
      address: '127.0.0.1',
    })
    const cookie = { name: sessionCookieName(config.secure), value: secret }
    const csrf = csrfTokenFor(config.sessionSecret, sessionId)
    const agent = request.agent(app.server).set('cookie', `${cookie.name}=${cookie.value}`).set('accept', 'text/html')
    return {
      id: row.id,
      cookie,
      csrf,
      agent,
      get: path => agent.get(path),
      submit: (path, fields = {}) =>
        agent
          .post(path)
          .type('form')
          .send({ _csrf: csrf, _key: newId(), ...fields }),
    }
  }

  async function program({
    scopes = allScopes,
    homes,
  }: {
    scopes?: readonly Scope[]
    homes?: readonly string[]
  } = {}): Promise<Program> {
    const made = await db.transaction(async tx => {
      const added = await addApp(tx, system(), {
        name: 'Field tools',
        scopes: [...scopes],
        allHomes: homes === undefined,
      })
      for (const propertyId of homes ?? []) await grantHome(tx, system(), added.appId, { propertyId, until: null })
      return added
    })
    const answer = await request(app.server)
      .post('/oauth/token')
      .auth(made.clientId, made.secret)
      .type('form')
      .send({ grant_type: 'client_credentials' })
    if (answer.status !== 200) throw new Error(`No token: ${answer.status} ${answer.text}`)
    const token = String(answer.body.access_token)
    const agent = request.agent(app.server).set('authorization', `Bearer ${token}`)
    return {
      id: made.appId,
      clientId: made.clientId,
      secret: made.secret,
      token,
      agent,
      get: path => agent.get(path),
      post: (path, body = {}, key = newId()) => agent.post(path).set('idempotency-key', key).send(body),
      patch: (path, body, version) => agent.patch(path).set('if-match', `"${version}"`).send(body),
    }
  }

  return {
    staff,
    owner: () => staff(['owner']),
    office: () => staff(['office']),
    crew: () => staff(['crew']),
    app: program,
    anonymous: request.agent(app.server),
  }
}
