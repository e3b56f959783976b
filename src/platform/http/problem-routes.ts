import type { FastifyInstance } from 'fastify'
import { notFound } from './problem.ts'
import { problemKinds, titleOf } from './problem-kinds.ts'

const access = { open: 'What a problem means holds nothing of anybody.' }
const escaped = (text: string) => text.replace(/[&<>"]/g, sign => `&#${sign.charCodeAt(0)};`)
const document = (title: string, body: string) =>
  `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">` +
  `<title>${escaped(title)}</title><main><h1>${escaped(title)}</h1>${body}</main></html>`

/** What each problem `type` opens: a page for every kind, and the list of them. */
export function problemRoutes(app: FastifyInstance): void {
  app.get('/problems', { config: access }, (_request, reply) => {
    const lines = Object.entries(problemKinds).map(
      ([code, kind]) =>
        `<dt><a href="/problems/${code}">${code}</a></dt><dd>${escaped(kind.title)}. ${escaped(kind.remedy)}</dd>`,
    )
    return reply.type('text/html; charset=utf-8').send(document('Problems', `<dl>${lines.join('')}</dl>`))
  })
  app.get<{ Params: { code: string } }>('/problems/:code', { config: access }, (request, reply) => {
    const { code } = request.params
    if (!/^[a-z][a-z-]{1,60}$/.test(code)) throw notFound('problem')
    const remedy = problemKinds[code]?.remedy ?? 'The detail of the answer says what happened and what to do.'
    return reply.type('text/html; charset=utf-8').send(document(titleOf(code, 0), `<p>${escaped(remedy)}</p>`))
  })
}
