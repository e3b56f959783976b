type Described = { description?: string; $ref?: string; headers?: object; content?: object; [key: string]: unknown }
export type ApiSchema = {
  response?: Record<string, Described>
  body?: unknown
  security?: unknown
  [key: string]: unknown
}

const successWords: Readonly<Record<string, string>> = {
  200: 'As asked',
  201: 'Made; Location says where',
  202: 'Begun; Location says where to ask',
  204: 'Done',
}

/** Adds to an operation what all of its kind have: its scope, and every refusal it can meet. */
export function describeOperation(schema: ApiSchema, route: { scope: string; method: string; url: string }): ApiSchema {
  const given = Object.entries(schema.response ?? {}).map(([status, answer]) => [
    status,
    { ...answer, description: answer.description ?? successWords[status] ?? 'Answer' },
  ])
  const refusals = statusesOf(schema, route).map(status => [
    status,
    { $ref: `#/components/responses/Problem${status}` },
  ])
  const notModified = route.method === 'GET' ? [[304, { description: 'You have this version', type: 'null' }]] : []
  return {
    ...schema,
    security: [{ oauth: [route.scope] }],
    response: Object.fromEntries([...refusals, ...notModified, ...given]),
  }
}

/** What the platform can answer before the operation's own answers; a status the operation describes wins. */
function statusesOf(schema: ApiSchema, { method, url }: { method: string; url: string }): number[] {
  const writes = method !== 'GET'
  const versioned = method === 'PATCH' || method === 'PUT' || method === 'DELETE'
  return [
    400,
    401,
    403,
    ...(url.includes('{') || url.includes(':') || writes ? [404] : []),
    406,
    ...(writes ? [409, 413, 415] : []),
    ...(versioned || url.split('/').length > 4 ? [412, 428] : []),
    ...(writes || schema.querystring ? [422] : []),
    429,
    500,
    503,
  ]
}
