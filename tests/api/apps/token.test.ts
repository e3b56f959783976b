import * as client from 'openid-client'
import request, { type Test } from 'supertest'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addApp, disableApp, revokeSecret, rotateSecret } from '../../../src/features/apps/change-app.ts'
import { secretPrefix } from '../../../src/features/apps/client-secret.ts'
import { liveSecrets } from '../../../src/features/apps/queries.ts'
import { eventually } from '../../support/eventually.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let known: { appId: string; clientId: string; secret: string }

beforeAll(async () => {
  service = await buildTestApp()
  known = await anApp()
})
afterAll(() => service.close())

const operator = () => ({ actor: { kind: 'operator', id: null }, now: service.clock.now(), requestId: 'test' }) as const
const anApp = () =>
  service.db.transaction(tx =>
    addApp(tx, operator(), { name: 'Ledger', scopes: ['company:read', 'policies:read'], allHomes: true }),
  )

const post = (path: string, fields: Record<string, unknown> | string, auth: [string, string] | null): Test => {
  const sent = request(service.app.server).post(path).type('form')
  return (auth ? sent.auth(...auth) : sent).send(fields)
}
const grant = { grant_type: 'client_credentials' }
const own = (): [string, string] => [known.clientId, known.secret]
const readCompany = (token: string) =>
  request(service.app.server).get('/v1/company').set('authorization', `Bearer ${token}`)

describe('a form that is too large', () => {
  it.each(['/oauth/token', '/oauth/revoke'])('is refused by %s with 413', async path => {
    const answer = await post(path, { ...grant, scope: 'x'.repeat(2 * 1024 * 1024) }, own())
    expect(answer.status).toBe(413)
  })
})

// RFC 6749, section 5.2: every row that the client-credentials grant can meet.
describe('the token endpoint refuses', () => {
  it.each([
    ['a request without grant_type', {}, 'invalid_request'],
    ['a grant_type that is empty, as one that is left out', { grant_type: '' }, 'invalid_request'],
    ['a parameter that comes twice', 'grant_type=client_credentials&grant_type=client_credentials', 'invalid_request'],
    ['another grant type', { grant_type: 'password', username: 'a', password: 'b' }, 'unsupported_grant_type'],
    [
      'an authorization code, since there is no such flow',
      { grant_type: 'authorization_code', code: 'x' },
      'unsupported_grant_type',
    ],
    ['a scope that the client was not given', { ...grant, scope: 'company:read tests:write' }, 'invalid_scope'],
    ['a scope that does not exist', { ...grant, scope: 'everything' }, 'invalid_scope'],
    ['a scope that is no list of scopes', { ...grant, scope: ' company:read' }, 'invalid_scope'],
    ['authentication in the header and in the body at once', { ...grant, client_secret: 'x' }, 'invalid_request'],
    [
      'a client id in the body that is not the one in the header',
      { ...grant, client_id: 'app_other' },
      'invalid_request',
    ],
  ])('%s', async (_, fields, code) => {
    const answer = await post('/oauth/token', fields, own())
    expect(answer.status).toBe(400)
    expect(answer.body).toEqual({ error: code, error_description: expect.stringMatching(/\.$|: /) })
    expect(answer.headers['cache-control']).toBe('no-store')
  })

  it('a body that is not form-encoded', async () => {
    const answer = await request(service.app.server)
      .post('/oauth/token')
      .auth(...own())
      .send(grant)
    expect(answer.status).toBe(400)
    expect(answer.body.error).toBe('invalid_request')
  })

  it('parameters in the URL', async () => {
    const answer = await post('/oauth/token?grant_type=client_credentials', grant, own())
    expect(answer.body.error).toBe('invalid_request')
  })

  it('a client that it does not know and a wrong secret alike: 401 with a challenge', async () => {
    const wrong = await post('/oauth/token', grant, [known.clientId, `${known.secret}x`])
    const unknown = await post('/oauth/token', grant, ['app_nobody', known.secret])
    const nobody = await post('/oauth/token', grant, null)
    for (const answer of [wrong, unknown, nobody]) {
      expect(answer.status).toBe(401)
      expect(answer.body.error).toBe('invalid_client')
      expect(answer.headers['www-authenticate']).toMatch(/^Basic realm=/)
    }
    expect(wrong.text).toBe(unknown.text)
  })

  it.each([
    'Basic',
    'Basic !!!',
    'Basic bm9jb2xvbg==',
    'Bearer abc',
    `Basic ${Buffer.from('%zz:x').toString('base64')}`,
  ])('the Authorization header %j', async authorization => {
    const answer = await post('/oauth/token', grant, null).set('authorization', authorization)
    expect([answer.status, answer.body.error]).toEqual([401, 'invalid_client'])
  })

  it('a client that the owner has disabled, once it has shown its secret', async () => {
    const shut = await anApp()
    await service.db.transaction(tx => disableApp(tx, operator(), shut.appId, 1, true))
    const answer = await post('/oauth/token', grant, [shut.clientId, shut.secret])
    expect([answer.status, answer.body.error]).toEqual([400, 'unauthorized_client'])
    expect((await post('/oauth/token', grant, [shut.clientId, 'wrong'])).body.error).toBe('invalid_client')
  })
})

describe('the token endpoint gives', () => {
  it('a bearer token with all scopes of the client when none are asked for (section 5.1)', async () => {
    const answer = await post('/oauth/token', grant, own())
    expect(answer.status).toBe(200)
    expect(answer.headers['cache-control']).toBe('no-store')
    expect(answer.headers.pragma).toBe('no-cache')
    expect(answer.body).toEqual({
      access_token: expect.stringMatching(/^[\w-]+\.[\w-]+\.[\w-]+$/),
      token_type: 'Bearer',
      expires_in: 900,
      scope: 'company:read policies:read',
    })
    expect((await readCompany(answer.body.access_token)).status).toBe(200)
  })

  it('just the scopes asked for, and the API then refuses the others with 403', async () => {
    const answer = await post('/oauth/token', { ...grant, scope: 'policies:read' }, own())
    expect(answer.body.scope).toBe('policies:read')
    const refused = await readCompany(answer.body.access_token)
    expect(refused.status).toBe(403)
    expect(refused.headers['www-authenticate']).toContain('error="insufficient_scope", scope="company:read"')
  })

  it('the same to a client that authenticates in the body', async () => {
    const answer = await post(
      '/oauth/token',
      { ...grant, client_id: known.clientId, client_secret: known.secret },
      null,
    )
    expect(answer.status).toBe(200)
  })

  it('claims as RFC 9068 lays them out', async () => {
    const { access_token: token } = (await post('/oauth/token', grant, own())).body
    const [header, payload] = String(token)
      .split('.')
      .slice(0, 2)
      .map(part => JSON.parse(Buffer.from(part, 'base64url').toString()))
    expect(header).toEqual({ alg: 'EdDSA', typ: 'at+jwt', kid: expect.any(String) })
    const issuedAt = Math.floor(service.clock.now() / 1000)
    expect(payload).toMatchObject({
      iss: service.config.publicUrl,
      aud: service.config.publicUrl,
      sub: known.clientId,
      client_id: known.clientId,
      scope: 'company:read policies:read',
      iat: issuedAt,
      exp: issuedAt + 900,
      jti: expect.stringMatching(/^[\w-]{20,}$/),
    })
  })

  it('a token to an independent client that finds everything by the published metadata (RFC 8414)', async () => {
    const found = await client.discovery(
      new URL(service.config.publicUrl),
      known.clientId,
      undefined,
      client.ClientSecretBasic(known.secret),
      { algorithm: 'oauth2', execute: [client.allowInsecureRequests] },
    )
    const tokens = await client.clientCredentialsGrant(found, { scope: 'company:read' })
    expect(tokens).toMatchObject({ token_type: 'bearer', expires_in: 900, scope: 'company:read' })
    const company = await client.fetchProtectedResource(
      found,
      tokens.access_token,
      new URL('/v1/company', service.url),
      'GET',
    )
    expect(await company.json()).toMatchObject({ name: 'Clearwell Mitigation', zone: 'America/Chicago' })
    await client.tokenRevocation(found, tokens.access_token)
    await eventually(async () => (await readCompany(tokens.access_token)).status === 401, 5_000)
  })
})

describe('a secret', () => {
  it('begins with a prefix that scanners know, and only its hash is kept', async () => {
    expect(known.secret.startsWith(secretPrefix)).toBe(true)
    const { rows } = await service.db.pool.query('select encode(secret_hash, $1) as hash from app_secret', ['hex'])
    expect(JSON.stringify(rows)).not.toContain(known.secret.slice(secretPrefix.length))
    expect(rows[0].hash).toMatch(/^[0-9a-f]{64}$/)
  })

  it('has a second beside it for changing over, and no third', async () => {
    const rotating = await anApp()
    const second = await service.db.transaction(tx => rotateSecret(tx, operator(), rotating.appId))
    for (const secret of [rotating.secret, second])
      expect((await post('/oauth/token', grant, [rotating.clientId, secret])).status).toBe(200)
    await expect(service.db.transaction(tx => rotateSecret(tx, operator(), rotating.appId))).rejects.toMatchObject({
      status: 409,
      code: 'two-secrets',
    })
  })

  it('that is ended gives no token any more, and the tokens it gave end within 5 s; the other one goes on', async () => {
    const leaked = await anApp()
    const second = await service.db.transaction(tx => rotateSecret(tx, operator(), leaked.appId))
    const token = async (secret: string) =>
      (await post('/oauth/token', grant, [leaked.clientId, secret])).body.access_token
    const [old, fresh] = [await token(leaked.secret), await token(second)]
    expect((await readCompany(old)).status).toBe(200)
    const [first] = await liveSecrets(service.db, leaked.appId)
    await service.db.transaction(tx => revokeSecret(tx, operator(), leaked.appId, first!.id))
    expect((await post('/oauth/token', grant, [leaked.clientId, leaked.secret])).status).toBe(401)
    await eventually(async () => (await readCompany(old)).status === 401, 5_000)
    expect((await readCompany(fresh)).status).toBe(200)
  })

  it('shows when and from where it was last used', async () => {
    const used = await anApp()
    await post('/oauth/token', grant, [used.clientId, used.secret])
    expect(await liveSecrets(service.db, used.appId)).toMatchObject([
      { lastUsedAt: service.clock.now(), lastUsedFrom: '127.0.0.1' },
    ])
  })
})

// RFC 7009
describe('revoking', () => {
  it('needs the client’s secret and a token', async () => {
    expect((await post('/oauth/revoke', { token: 'x' }, null)).body.error).toBe('invalid_client')
    expect((await post('/oauth/revoke', {}, own())).body.error).toBe('invalid_request')
  })

  it('answers 200 for a token that is unknown or another client’s, and leaves the latter in force', async () => {
    const other = await anApp()
    const { access_token: theirs } = (await post('/oauth/token', grant, [other.clientId, other.secret])).body
    const withdrawn = async () => (await service.db.pool.query('select jti from revoked_token')).rows.length
    const before = await withdrawn()
    expect((await post('/oauth/revoke', { token: 'nonsense' }, own())).status).toBe(200)
    expect((await post('/oauth/revoke', { token: theirs }, own())).status).toBe(200)
    expect(await withdrawn()).toBe(before)
    expect((await readCompany(theirs)).status).toBe(200)
  })

  it('takes effect within 5 s, and an app’s disabling too', async () => {
    const shut = await anApp()
    const token = async () => (await post('/oauth/token', grant, [shut.clientId, shut.secret])).body.access_token
    const [one, two] = [await token(), await token()]
    expect((await readCompany(one)).status).toBe(200)
    await post('/oauth/revoke', { token: one, token_type_hint: 'access_token' }, [shut.clientId, shut.secret])
    await eventually(async () => (await readCompany(one)).status === 401, 5_000)
    expect((await readCompany(two)).status).toBe(200)
    await service.db.transaction(tx => disableApp(tx, operator(), shut.appId, 1, true))
    await eventually(async () => (await readCompany(two)).status === 401, 5_000)
  })
})

describe('what is published', () => {
  it('names the endpoints under the public address, whatever the Host header says', async () => {
    const answer = await request(service.app.server)
      .get('/.well-known/oauth-authorization-server')
      .set('host', 'evil.example')
    expect(answer.body).toMatchObject({
      issuer: service.config.publicUrl,
      token_endpoint: `${service.config.publicUrl}/oauth/token`,
      revocation_endpoint: `${service.config.publicUrl}/oauth/revoke`,
      jwks_uri: `${service.config.publicUrl}/.well-known/jwks.json`,
      grant_types_supported: ['client_credentials'],
      token_endpoint_auth_methods_supported: ['client_secret_basic', 'client_secret_post'],
    })
  })

  it('leads from a 401 to the token endpoint (RFC 9728)', async () => {
    const refused = await request(service.app.server).get('/v1/company')
    const [, where = ''] = /resource_metadata="([^"]+)"/.exec(refused.headers['www-authenticate'] ?? '') ?? []
    const resource = (await request(service.app.server).get(new URL(where).pathname)).body
    expect(resource).toMatchObject({
      resource: service.config.publicUrl,
      authorization_servers: [service.config.publicUrl],
    })
  })

  it('says in the API’s document that a client shows its secret by HTTP Basic or in the body', () => {
    const document = service.app.swagger() as {
      components: { securitySchemes: object }
      paths: Record<string, { post?: { security?: object[] } }>
    }
    expect(document.components.securitySchemes).toMatchObject({ client: { type: 'http', scheme: 'basic' } })
    for (const path of ['/oauth/token', '/oauth/revoke'])
      expect(document.paths[path]?.post?.security, path).toEqual([{ client: [] }, {}])
  })

  it('holds public keys only, to be kept for a while', async () => {
    const answer = await request(service.app.server).get('/.well-known/jwks.json')
    expect(answer.headers['cache-control']).toBe('public, max-age=300')
    for (const key of answer.body.keys)
      expect(Object.keys(key).sort()).toEqual(['alg', 'crv', 'kid', 'kty', 'use', 'x'])
  })
})
