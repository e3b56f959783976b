import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { Ajv2020 } from 'ajv/dist/2020.js'
import addFormats from 'ajv-formats'
import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Example } from '../../src/platform/http/show-example.ts'
import { call, versionOf } from '../support/api-call.ts'
import { apiRoutes } from '../support/api-routes.ts'
import { type ApiRow, apiRows } from '../support/api-rows.ts'
import { settled } from '../support/settled.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome } from '../support/world.ts'

// B17: the examples of the API document are what a trip over every operation sends and is answered.

let t: TestApp
beforeAll(async () => {
  t = await buildTestApp()
})
afterAll(() => t.close())

type Body = Record<string, never>
type Examples = Record<string, { request?: Body; response?: Body; otherwise?: Record<string, Body> }>
type Described = {
  readonly operationId: string
  readonly parameters?: readonly { readonly in: string; readonly name: string }[]
  readonly requestBody?: { readonly content: Record<string, { readonly example?: unknown }> }
  readonly responses: Record<string, { readonly content?: Record<string, { readonly example?: unknown }> }>
}
const described = () => (t.app.swagger() as unknown as { paths: Record<string, Record<string, Described>> }).paths
const operations = () => Object.values(described()).flatMap(methods => Object.values(methods))

/** Reads first, as the rows stand, but for those that have something to show only after the writes. */
function inOrder(): string[] {
  const late = ['listSavedReadings', 'readPropertyHistory', 'listAttempts']
  const names = Object.keys(apiRows).filter(name => !late.includes(name))
  return names.toSpliced(names.indexOf('removeSavedReading'), 0, ...late)
}

const savedIn = ({ listSavedReadings }: Examples): string =>
  (listSavedReadings?.response as { items: { id: string }[] } | undefined)!.items[0]!.id

/** Calls each operation once, in the order of their rows, on one home. */
async function trip(): Promise<Record<string, Example>> {
  const program = await t.as.app()
  const { agent } = program
  let home = await aWholeHome(program, 'Alder')
  const routes = new Map(apiRoutes(t.app).map(route => [route.operationId, route]))
  const paged = new Set(
    operations().flatMap(one => (one.parameters?.some(({ name }) => name === 'limit') ? [one.operationId] : [])),
  )
  const one = (row: ApiRow): ApiRow => ({ ...row, query: of => `${row.query?.(of) ?? '?'}&limit=1` })
  const examples: Examples = {}
  for (const operationId of inOrder()) {
    const row = apiRows[operationId]!
    if (row.ids?.includes('saved')) home = { ...home, saved: savedIn(examples) }
    const version = row.version && (await versionOf(agent, row, home))
    const asked = paged.has(operationId) ? one(row) : row
    const answer = await call(routes.get(operationId)!, asked, home, { agent, version })
    expect(answer.status, `${operationId} ${answer.text}`).toBe(row.ok)
    const form = row.file && { ...row.file.fields(home), [row.file.field]: '(the bytes of the file)' }
    const json = /^application\/json/.test(answer.headers['content-type'] ?? '') && answer.status < 300
    examples[operationId] = { request: (row.body?.(home) ?? form) as Body, response: json ? answer.body : undefined }
    if (operationId === 'startImport') home = { ...home, import: answer.body.id }
  }
  const { body: passerBy } = await program.post('/v1/customers', { name: 'Passer-by' })
  const address = `/v1/customers/${passerBy.id}/void`
  const voided = await agent.post(address).set('if-match', '"1"').send({ reason: 'Entered twice' })
  examples.voidCustomer = { request: { reason: 'Entered twice' } as never, response: voided.body }
  const preview = { kind: 'void', noun: 'note', id: home.photo, reason: 'Of another home', dryRun: true }
  const { body: foreseen } = await program.post('/v1/corrections', preview)
  examples.putRight = { ...examples.putRight!, otherwise: { 200: foreseen } }
  return { ...examples, ...(await openTrip()) }
}

/** What needs no scope: an access token is fetched and withdrawn, and the service's own description read. */
async function openTrip(): Promise<Record<string, Example>> {
  const { clientId, secret } = await t.as.app()
  const read = async (path: string) => ({ response: (await t.as.anonymous.get(path)).body })
  const post = async (path: string, form: object) =>
    (await t.as.anonymous.post(path).auth(clientId, secret).type('form').send(form)).body
  const asked = { grant_type: 'client_credentials', scope: 'properties:read' }
  const token = await post('/oauth/token', asked)
  const shown = 'eyJhbGciOiJFZERTQSJ9.eyJzdWIiOiIwMTkwIn0.c2lnbmVk'
  return {
    issueToken: { request: asked, response: { ...token, access_token: shown } },
    revokeToken: {
      request: { token: shown },
      response: await post('/oauth/revoke', { token: token.access_token }),
    },
    authorizationServer: await read('/.well-known/oauth-authorization-server'),
    protectedResource: await read('/.well-known/oauth-protected-resource'),
    signingKeys: await read('/.well-known/jwks.json'),
  }
}

const file = join(import.meta.dirname, '../../openapi/examples.json')

/** Where a body has fields, whatever they hold. */
const fieldsOf = (body: unknown, at = ''): string[] =>
  typeof body !== 'object' || body === null
    ? [at]
    : Object.entries(body).flatMap(([name, inner]) => fieldsOf(inner, Array.isArray(body) ? at : `${at}/${name}`))

it('sends and is answered the fields that the document shows (UNDERSLAB_EXAMPLES=write writes them anew)', async () => {
  const made = settled(await trip())
  if (process.env.UNDERSLAB_EXAMPLES === 'write') writeFileSync(file, `${JSON.stringify(made, null, 2)}\n`)
  const shown = JSON.parse(readFileSync(file, 'utf8'))
  expect([...new Set(fieldsOf(shown))].sort()).toEqual([...new Set(fieldsOf(made))].sort())
})

it('has an example for every body that is sent and every JSON that is answered, and each fits its schema', () => {
  const ajv = new Ajv2020({ strict: false, allErrors: true, validateFormats: true })
  addFormats.default(ajv)
  ajv.addSchema(t.app.swagger() as object, 'api')
  const pointed = (part: string) => encodeURIComponent(part.replaceAll('~', '~0').replaceAll('/', '~1'))
  const faults: string[] = []
  let held = 0
  for (const [path, methods] of Object.entries(described()))
    for (const [method, { operationId, requestBody, responses }] of Object.entries(methods)) {
      const places = [
        { at: 'requestBody', content: requestBody?.content },
        ...Object.entries(responses).flatMap(([status, { content }]) =>
          status.startsWith('2') ? [{ at: `responses/${status}`, content }] : [],
        ),
      ]
      for (const { at, content = {} } of places)
        for (const [type, { example }] of Object.entries(content)) {
          if (!/json|form/.test(type)) continue
          const schema = `api#/paths/${pointed(path)}/${method}/${at}/content/${pointed(type)}/schema`
          const fits = ajv.compile({ $ref: schema })
          if (example === undefined) faults.push(`${operationId} ${at}: no example`)
          else if (!fits(example)) faults.push(`${operationId} ${at}: ${ajv.errorsText(fits.errors)}`)
          held += 1
        }
    }
  expect(faults).toEqual([])
  expect(held).toBeGreaterThan(120)
})
