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
export function describeOperation(
  operation: Operation,
  route: { path: string; method: string; produces: readonly string[] },
): void {
  // The generator invents an answer without content for a route that describes none.
  const said = Object.entries(operation.responses).filter(([, answer]) => answer.content || route.produces.length === 0)
  const given = said.map(([status, answer]): [string, Answer] => {
    const words = answer.description === 'Default Response' ? undefined : answer.description
    return [status, { ...answer, description: words ?? successWords[status] ?? 'Answer' }]
  })
  if (!given.some(([status]) => status.startsWith('2'))) given.push(['200', fileOf(route.produces)])
  const refusals = statusesOf(operation, route).map((status): [string, Answer] => [
    String(status),
    { $ref: `#/components/responses/Problem${status}` },
  ])
  operation.parameters = [...(operation.parameters ?? []), ...headersOf(operation, route.method)]
  const tagged = route.method === 'get' && operation.security?.length
  const notModified: [string, Answer][] = tagged ? [['304', { description: 'You have this version' }]] : []
  operation.responses = Object.fromEntries([...refusals, ...notModified, ...given])
}

const fileOf = (types: readonly string[]): Answer => ({
  description: 'The file',
  content: Object.fromEntries(types.map(type => [type, { schema: { type: 'string', format: 'binary' } }])),
})

/** Headers that a kind of operation reads: a generated client would otherwise have no place for them. */
function headersOf(operation: Operation, method: string): object[] {
  if (!operation.security?.length) return []
  const header = (name: string, required: boolean, description: string, example: string) => [
    { name, in: 'header', required, description, schema: { type: 'string' }, example },
  ]
  if (method === 'get') return header('If-None-Match', false, 'The ETag you have: 304 when it still holds', '"3"')
  if (operation.responses['201'])
    return header('Idempotency-Key', true, 'A new one for each thing to make; a repeat gives the first answer', '7c9e')
  return method === 'delete' ? [] : header('If-Match', true, 'The ETag of the version you read', '"3"')
}

/** What can be answered before the operation's own answers; a status that it describes itself wins. */
function statusesOf(operation: Operation, { path, method }: { path: string; method: string }): number[] {
  const common = [429, 500, 503]
  const writes = method !== 'get'
  if (!operation.security?.length) return writes ? [400, 403, 413, 415, ...common] : common
  const parametersIn = (place: string) => operation.parameters?.some(one => 'in' in one && one.in === place) ?? false
  const creates = operation.responses['201'] !== undefined
  return [
    400,
    401,
    403,
    ...(path.includes('{') || writes ? [404] : []),
    406,
    ...(writes ? [408, 409, 413, 415] : []),
    ...(writes && !creates ? [412, 428] : []),
    ...(writes || parametersIn('query') ? [422] : []),
    ...common,
  ]
}
