import { createPrivateKey, createPublicKey, generateKeyPairSync, type KeyObject } from 'node:crypto'
import { calculateJwkThumbprint, exportJWK, type JWTPayload, SignJWT } from 'jose'
import request from 'supertest'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { leeway } from '../../../src/features/apps/token/verify-token.ts'
import { linkTokenFor } from '../../../src/platform/auth/link-token.ts'
import { newId } from '../../../src/platform/ids.ts'
import type { Program } from '../../support/actors.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let program: Program
let ours: { key: KeyObject; publicKey: KeyObject; kid: string }
const stranger = generateKeyPairSync('ed25519')

beforeAll(async () => {
  service = await buildTestApp()
  program = await service.as.app({ scopes: ['company:read'] })
  const key = createPrivateKey(service.config.tokenSigningKeys[0]!)
  const publicKey = createPublicKey(key)
  ours = { key, publicKey, kid: await calculateJwkThumbprint(await exportJWK(publicKey)) }
})
afterAll(() => service.close())

const base64url = (value: unknown) => Buffer.from(JSON.stringify(value)).toString('base64url')
const partsOf = (token: string) => token.split('.') as [string, string, string]
const claims = (): JWTPayload => JSON.parse(Buffer.from(partsOf(program.token)[1], 'base64url').toString())
const seconds = () => Math.floor(service.clock.now() / 1000)

type Forgery = { header?: object; claims?: object; key?: KeyObject | Uint8Array }
const signed = ({ header = {}, claims: changed = {}, key = ours.key }: Forgery): Promise<string> =>
  new SignJWT({ ...claims(), ...changed })
    .setProtectedHeader({ alg: 'EdDSA', typ: 'at+jwt', kid: ours.kid, ...header })
    .sign(key)
const without = (claim: string) => signed({ claims: { [claim]: undefined } })

const forgeries: readonly (readonly [string, () => string | Promise<string>])[] = [
  ['that is not signed, alg none', () => `${base64url({ alg: 'none', typ: 'at+jwt' })}.${partsOf(program.token)[1]}.`],
  ['that is not signed but keeps our header', () => `${partsOf(program.token).slice(0, 2).join('.')}.`],
  [
    'signed by HS256 with our public key as the secret',
    () =>
      signed({
        header: { alg: 'HS256' },
        key: Buffer.from(ours.publicKey.export({ type: 'spki', format: 'pem' }) as string),
      }),
  ],
  ['signed by a key of a stranger under our key id', () => signed({ key: stranger.privateKey })],
  [
    'signed by a stranger, with their key in the header',
    async () => signed({ key: stranger.privateKey, header: { jwk: await exportJWK(stranger.publicKey) } }),
  ],
  [
    'signed by a stranger, with an address of their keys',
    () => signed({ key: stranger.privateKey, header: { jku: 'https://evil.example/jwks.json' } }),
  ],
  [
    'signed by a stranger, with an address of their certificate',
    () => signed({ key: stranger.privateKey, header: { x5u: 'https://evil.example/cert.pem' } }),
  ],
  ['under a key id that we do not have', () => signed({ header: { kid: 'other' } })],
  ['without a key id', () => signed({ header: { kid: undefined } })],
  ['whose type is that of any JWT', () => signed({ header: { typ: 'JWT' } })],
  ['without a type', () => signed({ header: { typ: undefined } })],
  ['of another issuer', () => signed({ claims: { iss: 'https://evil.example' } })],
  ['for another audience', () => signed({ claims: { aud: 'https://other.example' } })],
  ['without an audience', () => without('aud')],
  ['without an expiry', () => without('exp')],
  ['without an id', () => without('jti')],
  ['without its client', () => without('client_id')],
  ['whose subject is not its client', () => signed({ claims: { sub: 'app_other' } })],
  ['of a client that does not exist', () => signed({ claims: { sub: 'app_x', client_id: 'app_x' } })],
  ['one second past its expiry and the leeway', () => signed({ claims: { exp: seconds() - leeway - 1 } })],
  ['that is not valid yet', () => signed({ claims: { nbf: seconds() + leeway + 1 } })],
  ['issued in the future', () => signed({ claims: { iat: seconds() + leeway + 1 } })],
  ['given for a secret that does not open', () => signed({ claims: { secret_id: newId() } })],
  [
    'with more scopes written into it',
    () => {
      const [header, , signature] = partsOf(program.token)
      return `${header}.${base64url({ ...claims(), scope: 'company:read tests:write' })}.${signature}`
    },
  ],
  ['that is a homeowner’s link', () => linkTokenFor(service.config.linkKeys, newId())],
  ['that is a session’s secret', async () => (await service.as.owner()).cookie.value],
  [
    'that is an ID token of ours by its looks',
    () => signed({ header: { typ: 'JWT' }, claims: { nonce: 'n', auth_time: seconds() } }),
  ],
]

const ask = (token: string) => request(service.app.server).get('/v1/company').set('authorization', `Bearer ${token}`)

describe('a token is refused with 401', () => {
  it.each(forgeries)('%s', async (_, forge) => {
    const answer = await ask(await forge())
    expect(answer.status).toBe(401)
    expect(answer.headers['www-authenticate']).toContain('error="invalid_token"')
  })

  it('when it comes in the URL', async () => {
    const answer = await request(service.app.server).get('/v1/company').query({ access_token: program.token })
    expect(answer.status).toBe(401)
  })

  it('when an access token is offered as a session or as a link', async () => {
    const page = await request(service.app.server).get('/account').set('cookie', `underslab-local=${program.token}`)
    expect([page.status, page.headers.location]).toEqual([303, '/sign-in?next=%2Faccount'])
    expect((await request(service.app.server).get(`/h/${program.token}`)).status).toBeGreaterThanOrEqual(400)
  })
})

describe('a token is taken', () => {
  it('as it was issued, and signed again the same way', async () => {
    expect((await ask(program.token)).status).toBe(200)
    expect((await ask(await signed({}))).status).toBe(200)
  })

  it('until its expiry and the leeway have passed', async () => {
    expect((await ask(await signed({ claims: { exp: seconds() - leeway + 1 } }))).status).toBe(200)
  })

  it('of the old key as well as of the new one while both are configured', async () => {
    const fresh = generateKeyPairSync('ed25519').privateKey
    const rotated = await buildTestApp({
      databaseUrl: service.databaseUrl,
      env: {
        PUBLIC_URL: service.config.publicUrl,
        TOKEN_SIGNING_KEY: String(fresh.export({ type: 'pkcs8', format: 'pem' })),
        TOKEN_SIGNING_KEY_PREVIOUS: service.config.tokenSigningKeys[0]!,
      },
    })
    try {
      const answer = await request(rotated.app.server)
        .get('/v1/company')
        .set('authorization', `Bearer ${program.token}`)
      expect(answer.status).toBe(200)
      const keys = (await request(rotated.app.server).get('/.well-known/jwks.json')).body.keys
      expect(keys).toHaveLength(2)
      const token = (await rotated.as.app({ scopes: ['company:read'] })).token
      const { kid } = JSON.parse(Buffer.from(partsOf(token)[0], 'base64url').toString())
      expect(kid).toBe(keys[0].kid)
      expect(kid).not.toBe(ours.kid)
    } finally {
      await rotated.close()
    }
  })
})
