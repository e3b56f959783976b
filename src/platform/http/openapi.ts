import swagger from '@fastify/swagger'
import type { FastifyInstance, FastifySchema } from 'fastify'
import { jsonSchemaTransform, jsonSchemaTransformObject } from 'fastify-type-provider-zod'
import type { Config } from '../config.ts'
import { type Declared, describeOperation, type Operation } from './describe-operation.ts'
import { problemComponents } from './problem-components.ts'
import { sayDefaults } from './say-defaults.ts'
import { type Example, showExample } from './show-example.ts'

const about = {
  title: 'Underslab',
  version: '1',
  description:
    'Homes, radon tests, mitigation systems and what is owed next. Access tokens come from POST /oauth/token ' +
    '(client credentials). Every refusal is a problem document (RFC 9457). A field that is left out of a PATCH stays ' +
    'as it is; null clears it. New fields and new values of enumerations may appear at any time.',
  license: { name: 'Proprietary', identifier: 'LicenseRef-Proprietary' },
}

/** Documents every route under /v1 from the schemas that validate it. */
export async function documentApi(app: FastifyInstance, config: Config): Promise<void> {
  const declared = new Map<string, Declared>()
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: { ...about, contact: { name: 'Support', url: `${config.publicUrl}/.well-known/security.txt` } },
      servers: [{ url: config.publicUrl }],
      components: {
        ...problemComponents,
        securitySchemes: {
          oauth: {
            type: 'oauth2',
            flows: { clientCredentials: { tokenUrl: `${config.publicUrl}/oauth/token`, scopes: {} } },
          },
          client: {
            type: 'http',
            scheme: 'basic',
            description: 'The client’s id and secret, each form-encoded first (RFC 6749, section 2.3.1)',
          },
        },
      } as object,
    },
    hideUntagged: false,
    transform: route => {
      const { schema, url } = jsonSchemaTransform(route)
      const { scope, ...config } = route.route.config ?? {}
      const {
        operationId = '',
        produces = config.produces,
        security = scope === undefined ? [] : [{ oauth: [scope] }],
      } = (schema ?? {}) as { operationId?: string; produces?: string[]; security?: FastifySchema['security'] }
      if (!operationId) return { schema: { hide: true }, url }
      declared.set(operationId, { ...config, produces })
      return { schema: { ...schema, security }, url }
    },
    transformObject: document => {
      const whole = jsonSchemaTransformObject(document)
      finish(whole as Document, spoken.get(app.server) ?? { scopes: {}, examples: {} }, declared)
      return whole
    },
  })
  app.get('/openapi.json', { config: { open: 'The description of the API holds no data.' } }, (_request, reply) =>
    reply.header('cache-control', 'public, max-age=300').header('access-control-allow-origin', '*').send(app.swagger()),
  )
}

/** What features and real calls add to the document: words for each scope, a body and an answer of each operation. */
export type Spoken = {
  readonly scopes: Readonly<Record<string, string>>
  readonly examples: Readonly<Record<string, Example>>
}
const spoken = new WeakMap<FastifyInstance['server'], Spoken>()
export const describeApi = (app: FastifyInstance, words: Spoken): void => void spoken.set(app.server, words)

type Document = {
  paths?: Record<string, Record<string, Operation>>
  components?: {
    schemas?: Record<string, unknown>
    securitySchemes?: { oauth?: { flows: { clientCredentials: { scopes: Record<string, string> } } } }
  }
}

/** Describes each operation, names the scopes, and leaves out shapes nobody points at (each comes for both ways). */
function finish(document: Document, { scopes, examples }: Spoken, declared: ReadonlyMap<string, Declared>): void {
  for (const [path, methods] of Object.entries(document.paths ?? {}))
    for (const [method, operation] of Object.entries(methods)) {
      const name = operation.operationId ?? ''
      describeOperation(operation, { path, method, ...declared.get(name) })
      showExample(operation, examples[name])
    }
  const flow = document.components?.securitySchemes?.oauth?.flows.clientCredentials
  if (flow) flow.scopes = { ...scopes }
  const schemas = document.components?.schemas ?? {}
  for (const [name, schema] of Object.entries(schemas)) if (name.endsWith('Input')) sayDefaults(schema)
  for (;;) {
    const text = JSON.stringify(document)
    const unused = Object.keys(schemas).filter(name => !text.includes(`"#/components/schemas/${name}"`))
    if (unused.length === 0) return
    for (const name of unused) delete schemas[name]
  }
}
