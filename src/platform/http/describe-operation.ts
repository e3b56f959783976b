declare module 'fastify' {
  interface FastifyContextConfig {
    /** Refusals of this operation that not every one of its kind has. */
    refusals?: readonly number[]
    /** A read whose answers carry no ETag. */
    untagged?: true
  }
}

/** What a route declares beyond its schema. */
export type Declared = {
  readonly produces?: readonly string[]
  readonly refusals?: readonly number[]
  readonly untagged?: true
}
type Route = Declared & { readonly path: string; readonly method: string }

type Answer = { description?: string; $ref?: string; content?: object }
export type Operation = {
  operationId?: string
  parameters?: object[]
  requestBody?: object
  responses: Record<string, Answer>
  security?: readonly Readonly<Record<string, readonly string[]>>[]
}

const successWords: Readonly<Record<string, string>> = {
  200: 'As asked',
  201: 'Made; Location says where',
  202: 'Begun; Location says where to ask',
  204: 'Done',
}

/** Adds to an operation what all of its kind have: words for its answers, and by reference every refusal it can meet. */
export function describeOperation(operation: Operation, route: Route): void {
  const { produces = [] } = route
  // The generator invents an answer without content for a route that describes none.
  const said = Object.entries(operation.responses).filter(([, answer]) => answer.content || produces.length === 0)
  const given = said.map(([status, answer]): [string, Answer] => {
    const words = answer.description === 'Default Response' ? undefined : answer.description
    return [status, { ...answer, description: words ?? successWords[status] ?? 'Answer' }]
  })
  if (!given.some(([status]) => status.startsWith('2'))) given.push(['200', fileOf(produces)])
  const refusals = statusesOf(operation, route).map((status): [string, Answer] => [
    String(status),
    { $ref: `#/components/responses/Problem${status}` },
  ])
  operation.parameters = [...(operation.parameters ?? []), ...headersOf(operation, route)]
  const notModified: [string, Answer][] = isTagged(operation, route)
    ? [['304', { description: 'You have this version' }]]
    : []
  operation.responses = Object.fromEntries([...refusals, ...notModified, ...given])
}

const fileOf = (types: readonly string[]): Answer => ({
  description: 'The file',
  content: Object.fromEntries(types.map(type => [type, { schema: { type: 'string', format: 'binary' } }])),
})

const needsToken = ({ security = [] }: Operation) => security.some(way => 'oauth' in way)
const isTagged = (operation: Operation, { method, untagged }: Route) =>
  method === 'get' && needsToken(operation) && !untagged

/** Headers that a kind of operation reads: a generated client would otherwise have no place for them. */
function headersOf(operation: Operation, route: Route): object[] {
  const header = (name: string, required: boolean, description: string, example: string) => [
    { name, in: 'header', required, description, schema: { type: 'string' }, example },
  ]
  if (isTagged(operation, route))
    return header('If-None-Match', false, 'The ETag you have: 304 when it still holds', '"3"')
  if (creates(operation))
    return header('Idempotency-Key', true, 'A new one for each thing to make; a repeat gives the first answer', '7c9e')
  return isVersioned(operation, route) ? header('If-Match', true, 'The ETag of the version you read', '"3"') : []
}

const creates = (operation: Operation) => operation.responses['201'] !== undefined
const isVersioned = (operation: Operation, { method }: Route) =>
  needsToken(operation) && !creates(operation) && !['get', 'delete'].includes(method)

/** What can be answered before the operation's own answers; a status that it describes itself wins. */
function statusesOf(operation: Operation, route: Route): number[] {
  const common = [429, 500, 503]
  const writes = route.method !== 'get'
  if (!needsToken(operation)) return writes ? [400, 403, 408, 413, ...common] : common
  const parameters = (operation.parameters ?? []) as { readonly in?: string; readonly name?: string }[]
  return [
    400,
    401,
    403,
    ...(route.path.includes('{') ? [404] : []),
    406,
    ...(writes ? [408, 413, 415] : []),
    ...(creates(operation) ? [409] : []),
    ...(isVersioned(operation, route) ? [412, 428] : []),
    ...(writes || parameters.some(one => one.in === 'query' && one.name === 'limit') ? [422] : []),
    ...(route.refusals ?? []),
    ...common,
  ]
}
