import type { FastifyInstance } from 'fastify'
import request, { type Response, type Test } from 'supertest'

/** A browser without the browser: keeps its cookies and sends the forms of the page it last looked at. */
export type Visitor = {
  readonly cookies: Map<string, string>
  page: Response | null
  get(path: string): Promise<Response>
  /** Sends the hidden fields of the page it is on with what is typed. */
  send(
    path: string,
    typed: Readonly<Record<string, unknown>>,
    headers?: Readonly<Record<string, string>>,
  ): Promise<Response>
}

export function aVisitor(app: FastifyInstance, cookies: Readonly<Record<string, string>> = {}): Visitor {
  const jar = new Map(Object.entries(cookies))
  const withCookies = (test: Test) =>
    test.set('cookie', [...jar].map(([name, value]) => `${name}=${value}`).join('; ')).set('accept', 'text/html')
  const seen = (answer: Response): Response => {
    for (const line of [answer.headers['set-cookie'] ?? []].flat()) {
      const [, name = '', value = ''] = /^([^=]+)=([^;]*)/.exec(line) ?? []
      if (value === '' || /Max-Age=0|Expires=Thu, 01 Jan 1970/i.test(line)) jar.delete(name)
      else jar.set(name, value)
    }
    if (answer.text?.includes('name="_csrf"')) visitor.page = answer
    return answer
  }
  const visitor: Visitor = {
    cookies: jar,
    page: null,
    get: async path => seen(await withCookies(request(app.server).get(path))),
    send: async (path, typed, headers = {}) =>
      seen(
        await withCookies(request(app.server).post(path))
          .set(headers)
          .type('form')
          .send({ ...tokensOf(visitor.page), ...typed }),
      ),
  }
  return visitor
}

/** The session's token and the creating form's key, as the page holds them. */
function tokensOf(page: Response | null): Record<string, string> {
  const value = (name: string) => new RegExp(`name="${name}" value="([^"]*)"`).exec(page?.text ?? '')?.[1]
  return Object.fromEntries(
    ['_csrf', '_key'].flatMap(name => (value(name) === undefined ? [] : [[name, value(name)!]])),
  )
}

/** Every hidden field of a page whose main part holds one form. */
export const hiddenFieldsOf = (page: Response): Record<string, string> =>
  Object.fromEntries(
    [...mainOf(page.text).matchAll(/<input type="hidden" name="([^"]*)" value="([^"]*)"/g)].map(
      ([, name = '', value = '']) => [
        name,
        value.replaceAll('&#34;', '"').replaceAll('&#10;', '\n').replaceAll('&lt;', '<').replaceAll('&amp;', '&'),
      ],
    ),
  )

const mainOf = (html: string): string => /<main\b.*<\/main>/s.exec(html)?.[0] ?? html
