import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { expect, it } from 'vitest'
import { type Answer, watchAnswers } from '../support/answers.ts'
import { answerChecker, documentedPairs } from '../support/api-document.ts'

const document = {
  openapi: '3.1.0',
  info: { title: 'x', version: '1' },
  paths: {
    '/v1/homes/{id}': {
      get: {
        operationId: 'getHome',
        responses: {
          200: { content: { 'application/json': { schema: { $ref: '#/components/schemas/Home' } } } },
          404: { $ref: '#/components/responses/Problem' },
        },
      },
    },
    '/v1/homes/all': { get: { operationId: 'allHomes', responses: { 204: {} } } },
  },
  components: {
    schemas: {
      Home: { type: 'object', required: ['id'], properties: { id: { type: 'string' } }, additionalProperties: false },
    },
    responses: {
      Problem: { content: { 'application/problem+json': { schema: { type: 'object', required: ['status'] } } } },
    },
  },
}
const json = { 'content-type': 'application/json; charset=utf-8' }
const answer = (over: Partial<Answer>): Answer => ({
  method: 'GET',
  path: '/v1/homes/7',
  status: 200,
  headers: json,
  body: '{"id":"7"}',
  ...over,
})

it('accepts what the document says and names what it does not', () => {
  const held = answerChecker(document)
  expect(held(answer({}))).toEqual({ seen: { operation: 'getHome', status: 200 }, fault: null })
  expect(held(answer({ body: '{"id":"7","gateCode":"1"}' })).fault).toContain('must NOT have additional properties')
  expect(held(answer({ body: '{}' })).fault).toContain("must have required property 'id'")
  expect(held(answer({ status: 500 })).fault).toContain('not documented')
  expect(held(answer({ status: 404 })).fault).toContain('came as application/json')
  expect(
    held(answer({ status: 404, headers: { 'content-type': 'application/problem+json' }, body: '{}' })).fault,
  ).toContain('status')
  expect(held(answer({ path: '/v1/homes/all', status: 204, body: '' }))).toEqual({
    seen: { operation: 'allHomes', status: 204 },
    fault: null,
  })
  expect(held(answer({ path: '/elsewhere' }))).toEqual({ seen: null, fault: null })
  expect(documentedPairs(document)).toHaveLength(3)
})

it('sees each answer of a server whole', async () => {
  const server = createServer((_, response) => {
    response.writeHead(201, { 'content-type': 'text/plain' })
    response.write('one ')
    response.end('two')
  })
  const answers: Answer[] = []
  watchAnswers(server, seen => answers.push(seen))
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve))
  await fetch(`http://127.0.0.1:${(server.address() as AddressInfo).port}/a?b=c`, { method: 'POST' }).then(r =>
    r.text(),
  )
  await expect
    .poll(() => answers)
    .toEqual([expect.objectContaining({ method: 'POST', path: '/a', status: 201, body: 'one two' })])
  server.close()
})
