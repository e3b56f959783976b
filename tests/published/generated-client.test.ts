import { execFile } from 'node:child_process'
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { promisify } from 'node:util'
import openapiTypes, { astToString } from 'openapi-typescript'
import * as openid from 'openid-client'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

/**
 * The committed API document judged by programs that are not ours: a linter, a generator of typed clients, a compiler,
 * and an OAuth client (redocly, openapi-typescript with openapi-fetch, typescript, openid-client).
 */
const program = promisify(execFile)
const root = join(import.meta.dirname, '..', '..')
const document = join(root, 'openapi', 'openapi.json')
const trip = join(import.meta.dirname, 'client', 'main-trip.ts')
const tokenTrip = join(import.meta.dirname, 'client', 'token-trip.ts')

let app: TestApp
let folder: string

beforeAll(async () => {
  app = await buildTestApp({ at: '2026-02-10T15:00:00Z' })
  const cache = join(root, 'node_modules', '.cache')
  await mkdir(cache, { recursive: true })
  folder = await mkdtemp(join(cache, 'client-'))
})
afterAll(async () => {
  await app.close()
  await rm(folder, { recursive: true })
})

describe('the API document', () => {
  it('has no error by the recommended rules of a linter', async () => {
    const lint = [join(root, 'node_modules/@redocly/cli/bin/cli.js'), 'lint', document, '--extends', 'recommended']
    const skipped = ['--skip-rule', 'info-license', '--format', 'json']
    const { stdout } = await program(process.execPath, [...lint, ...skipped], { cwd: root, maxBuffer: 2 ** 26 })
    expect(JSON.parse(stdout.slice(stdout.indexOf('{'))).totals).toMatchObject({ errors: 0 })
  })

  it('makes a client whose types hold the main trip, with what may be left out left out, by a generator as it comes', async () => {
    await writeFile(
      join(folder, 'api.d.ts'),
      astToString(await openapiTypes(JSON.parse(await readFile(document, 'utf8')))),
    )
    expect(await compiled(trip, tokenTrip)).toBe('')
  })

  it('makes a client that a wrong path, field or missing key does not compile with', async () => {
    const wrong: readonly (readonly [file: string, right: string, typo: string])[] = [
      [trip, "'/v1/changes'", "'/v1/change'"],
      [trip, "street: '12 Harbor Street'", "road: '12 Harbor Street'"],
      [trip, "closedDuring: 'yes'", "closedDuring: 'maybe'"],
      [trip, "'If-Match'", "'If-Matched'"],
      [trip, "type: 'sub-slab-suction', ", ''],
      [tokenTrip, "'client_credentials'", "'password'"],
      [tokenTrip, 'body: { token, ', 'body: { '],
    ]
    const files = wrong.map((_, n) => join(folder, `wrong-${n}.ts`))
    for (const [n, [written, right, typo]] of wrong.entries()) {
      const text = await readFile(written, 'utf8')
      expect(text).toContain(right)
      await writeFile(files[n]!, text.replace(right, typo))
    }
    const said = await compiled(...files)
    for (const [n, [, , typo]] of wrong.entries())
      expect(said, typo).toMatch(new RegExp(`wrong-${n}\\.ts\\(.*error TS`))
  })
})

describe('a generated client', () => {
  // biome-ignore lint/suspicious/noExplicitAny: its types exist only once they are generated
  let seen: any
  beforeAll(async () => {
    const { access_token } = await openid.clientCredentialsGrant(await discovered())
    const { mainTrip } = await import(trip)
    seen = await mainTrip(app.url, access_token)
  })

  it('makes a home with owner, device, system and a test, and reads how the home stands', () => {
    expect(seen.recorded.evaluation?.stage).toBe('set')
    expect(seen.resulted.test.evaluation?.stage).toBe('result-in')
    expect(seen.resulted.standing).toEqual(seen.standing)
    expect(seen.standing.verdict).toMatchObject({
      outcome: 'needs-follow-up',
      compared: { value: '4.0', unit: 'pCi/L', qualifier: '=' },
      working: { lines: [{ left: '4.0 pCi/L', relation: '≥', right: '4.0 pCi/L' }] },
    })
  })

  it('finds what it wrote in the feed of changes, in order', () => {
    const items = seen.feed.items as { kind: string; noun: string; id: string }[]
    const nouns = items.filter(({ kind }) => kind === 'create').map(({ noun }) => noun)
    expect(nouns).toEqual(expect.arrayContaining(['customer', 'property', 'device', 'system', 'test']))
    expect(nouns.indexOf('customer')).toBeLessThan(nouns.indexOf('property'))
    expect(nouns.filter(noun => noun === 'property')).toHaveLength(1)
    expect(new Set(items.filter(({ noun }) => noun === 'test').map(({ id }) => id))).toEqual(
      new Set([seen.recorded.id]),
    )
  })

  it('is given the first answer again for a repeated key', () => {
    expect(seen.replayed.response.status).toBe(201)
    expect(seen.replayed.data).toEqual(seen.property)
  })

  it('fetches an access token by a form that the document describes, and withdraws it', async () => {
    const { clientId, secret } = await app.as.app()
    const { tokenTrip: makeTrip } = await import(tokenTrip)
    const trip = await makeTrip(app.url, clientId, secret)
    expect(trip.issued).toMatchObject({ token_type: 'Bearer', expires_in: 900, scope: 'properties:read' })
    expect([trip.refused, trip.opened, trip.withdrawn]).toEqual(['invalid_scope', 200, 200])
    await expect.poll(trip.readAgain, { timeout: 5_000 }).toBe(401)
  })

  it('corrects the version it read and is refused with an older one', () => {
    expect(seen.corrected).toMatchObject({ yearBuilt: 1962, version: seen.property.version + 1 })
    expect(seen.stale).toMatchObject({ status: 412, problem: { status: 412, requestId: expect.any(String) } })
  })
})

describe('an OAuth client that knows the origin only', () => {
  it('finds the token endpoint and is given a token with the scopes it asked for', async () => {
    const config = await discovered()
    expect(config.serverMetadata()).toMatchObject({ issuer: app.url, token_endpoint: `${app.url}/oauth/token` })
    const token = await openid.clientCredentialsGrant(config, { scope: 'properties:read' })
    expect(token).toMatchObject({ token_type: 'bearer', scope: 'properties:read' })
    const read = (path: string) =>
      openid.fetchProtectedResource(config, token.access_token, new URL(path, app.url), 'GET')
    expect((await read('/v1/properties')).status).toBe(200)
    await expect(read('/v1/tests')).rejects.toMatchObject({ status: 403 })
  })

  it('authenticates in the body as well as by Basic, and what it revokes is refused within five seconds', async () => {
    const config = await discovered(openid.ClientSecretPost)
    const { access_token } = await openid.clientCredentialsGrant(config)
    const read = () => openid.fetchProtectedResource(config, access_token, new URL('/v1/properties', app.url), 'GET')
    expect((await read()).status).toBe(200)
    await openid.tokenRevocation(config, access_token)
    await expect.poll(() => read().catch(refusal => refusal.status), { timeout: 5_000 }).toBe(401)
  })

  it('is told invalid_client with a wrong secret and invalid_scope for a scope there is not', async () => {
    const wrong = await discovered(openid.ClientSecretBasic, 'not the secret')
    await expect(openid.clientCredentialsGrant(wrong)).rejects.toMatchObject({ status: 401 })
    const config = await discovered()
    await expect(openid.clientCredentialsGrant(config, { scope: 'homes:burn' })).rejects.toMatchObject({
      error: 'invalid_scope',
      status: 400,
    })
  })
})

type Authentication = typeof openid.ClientSecretBasic
async function discovered(how: Authentication = openid.ClientSecretBasic, secret?: string) {
  const { clientId, secret: own } = await app.as.app()
  return openid.discovery(new URL(app.url), clientId, undefined, how(secret ?? own), {
    algorithm: 'oauth2',
    execute: [openid.allowInsecureRequests],
  })
}

/** What the compiler says of files with the generated types; nothing when all is well. */
async function compiled(...files: readonly string[]): Promise<string> {
  const config = {
    extends: join(root, 'tsconfig.json'),
    compilerOptions: { paths: { 'underslab-api': [join(folder, 'api.d.ts')] }, rootDir: root, lib: ['es2023', 'dom'] },
    include: [],
    files,
  }
  await writeFile(join(folder, 'tsconfig.json'), JSON.stringify(config))
  const tsc = [join(root, 'node_modules/ts7/bin/tsc'), '--noEmit', '-p', join(folder, 'tsconfig.json')]
  return program(process.execPath, tsc).then(
    ({ stdout }) => stdout,
    (refused: { stdout: string }) => refused.stdout,
  )
}
