import type { FastifyInstance } from 'fastify'
import { notFound } from './problem.ts'
import { type FeatureProblems, problemKinds, titleOf } from './problem-kinds.ts'

const access = { open: 'What a problem means holds nothing of anybody.' }
const escaped = (text: string) => text.replace(/[&<>"]/g, sign => `&#${sign.charCodeAt(0)};`)
const document = (title: string, body: string) =>
  `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">` +
  `<title>${escaped(title)}</title><main><h1>${escaped(title)}</h1>${body}</main></html>`

/** What each problem `type` opens: a page for every kind, and the list of them. */
export function problemRoutes(app: FastifyInstance, ofFeatures: FeatureProblems): void {
  const kinds = new Map(Object.entries(problemKinds))
  for (const [code, { status, remedy }] of Object.entries(ofFeatures))
    kinds.set(code, { title: titleOf(code, status), remedy })

  app.get('/problems', { config: access }, (_request, reply) => {
    const lines = [...kinds].map(
      ([code, kind]) =>
        `<dt><a href="/problems/${code}">${code}</a></dt><dd>${escaped(kind.title)}. ${escaped(kind.remedy)}</dd>`,
    )
    return reply.type('text/html; charset=utf-8').send(document('Problems', `<dl>${lines.join('')}</dl>`))
  })
  app.get<{ Params: { code: string } }>('/problems/:code', { config: access }, (request, reply) => {
    const kind = kinds.get(request.params.code)
    if (!kind) throw notFound('problem')
    return reply.type('text/html; charset=utf-8').send(document(kind.title, `<p>${escaped(kind.remedy)}</p>`))
  })
}
