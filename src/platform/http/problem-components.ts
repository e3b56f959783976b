const titles: Readonly<Record<number, string>> = {
  400: 'The request can not be read',
  401: 'No valid access token',
  403: 'The token lacks the scope',
  404: 'Not there, or not yours',
  406: 'Not in this media type',
  408: 'Too slow to arrive',
  409: 'Conflicts with how things stand',
  412: 'Changed since you read it',
  413: 'Too large',
  415: 'Not this Content-Type',
  422: 'Can be read, but does not fit',
  428: 'If-Match is missing',
  429: 'Too many requests',
  500: 'A fault of ours',
  503: 'Out of service for the moment',
}

const text = { type: 'string' }
const example = (status: number) => ({
  type: 'https://radon.example.com/problems/not-found',
  title: titles[status],
  status,
  detail: 'What happened, and what to do.',
  requestId: '0190f2a4-7c1e-7000-8000-000000000000',
})

/** The shape of every refusal, and one named response a status. */
export const problemComponents = {
  schemas: {
    Problem: {
      type: 'object',
      required: ['type', 'title', 'status', 'detail', 'requestId'],
      description: 'Problem details as RFC 9457 defines them',
      properties: {
        type: { ...text, format: 'uri', description: 'Names the kind of problem; opens its page' },
        title: text,
        status: { type: 'integer' },
        detail: text,
        requestId: { ...text, description: 'Ask the operator with this' },
        errors: {
          type: 'array',
          items: {
            type: 'object',
            required: ['pointer', 'code', 'detail'],
            properties: {
              pointer: { ...text, description: 'Where: a JSON pointer in fragment form' },
              code: text,
              detail: { ...text, description: 'What is allowed there' },
              found: { ...text, description: 'What was found there' },
            },
          },
        },
      },
    },
  },
  responses: Object.fromEntries(
    Object.entries(titles).map(([status, description]) => [
      `Problem${status}`,
      {
        description,
        content: {
          'application/problem+json': {
            schema: { $ref: '#/components/schemas/Problem' },
            example: example(Number(status)),
          },
        },
      },
    ]),
  ),
}
