import swagger from '@fastify/swagger'
import type { FastifyInstance } from 'fastify'
import { jsonSchemaTransform, jsonSchemaTransformObject } from 'fastify-type-provider-zod'
import type { Config } from '../config.ts'
import { type Declared, describeOperation, type Operation } from './describe-operation.ts'
import { problemComponents } from './problem-components.ts'

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
        },
      } as object,
    },
    hideUntagged: false,
    transform: route => {
      const { schema, url } = jsonSchemaTransform(route)
      const { scope, ...config } = route.route.config ?? {}
      const { operationId = '', produces = config.produces } = (schema ?? {}) as {
        operationId?: string
        produces?: string[]
      }
      if (!operationId) return { schema: { hide: true }, url }
      declared.set(operationId, { ...config, produces })
      return { schema: { ...schema, security: scope === undefined ? [] : [{ oauth: [scope] }] }, url }
    },
    transformObject: document => {
      const whole = jsonSchemaTransformObject(document)
      finish(whole as Document, scopesOf(app), declared)
      return whole
    },
  })
  app.get('/openapi.json', { config: { open: 'The description of the API holds no data.' } }, (_request, reply) =>
    reply.header('cache-control', 'public, max-age=300').header('access-control-allow-origin', '*').send(app.swagger()),
  )
}

const scopes = new WeakMap<FastifyInstance['server'], Record<string, string>>()
const scopesOf = (app: FastifyInstance) => scopes.get(app.server) ?? {}
/** Gives each scope its words in the document. */
export const describeScopes = (app: FastifyInstance, words: Readonly<Record<string, string>>): void => {
  scopes.set(app.server, { ...words })
}

type Document = {
  paths?: Record<string, Record<string, Operation>>
  components?: {
    schemas?: Record<string, unknown>
    securitySchemes?: { oauth?: { flows: { clientCredentials: { scopes: Record<string, string> } } } }
  }
}

/** Describes each operation, names the scopes, and leaves out shapes nobody points at (each comes for both ways). */
function finish(document: Document, words: Record<string, string>, declared: ReadonlyMap<string, Declared>): void {
  for (const [path, methods] of Object.entries(document.paths ?? {}))
    for (const [method, operation] of Object.entries(methods))
      describeOperation(operation, { path, method, ...declared.get(operation.operationId ?? '') })
  const flow = document.components?.securitySchemes?.oauth?.flows.clientCredentials
  if (flow) flow.scopes = words
  const schemas = document.components?.schemas ?? {}
  for (;;) {
    const text = JSON.stringify(document)
    const unused = Object.keys(schemas).filter(name => !text.includes(`"#/components/schemas/${name}"`))
    if (unused.length === 0) return
    for (const name of unused) delete schemas[name]
  }
}
