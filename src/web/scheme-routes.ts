import type { FastifyInstance } from 'fastify'
import { paths } from './paths.ts'
import { schemeCookie } from './scheme.ts'

const access = {
  open: 'It keeps a colour in the browser that asks, and nothing here.',
  noCsrf: 'it changes nothing but the colours of the browser that sends it',
}
const year = 365 * 86_400

/** Keeps light, dark or neither in the browser, and goes back to the page it was chosen on. */
export async function schemeRoutes(app: FastifyInstance): Promise<void> {
  app.post(paths.scheme(), { config: access }, (request, reply) => {
    const { scheme, back } = (request.body ?? {}) as Record<string, unknown>
    const kept = scheme === 'light' || scheme === 'dark'
    // The script reads it too, for the pages that are made before anybody is known.
    const cookie = kept ? `${schemeCookie}=${scheme}; Max-Age=${year}` : `${schemeCookie}=; Max-Age=0`
    return reply
      .header('set-cookie', `${cookie}; Path=/; SameSite=Lax`)
      .redirect(ownPage(back) ? back : paths.ledger(), 303)
  })
}

// A browser reads `//` and `/\` as the start of another site's address.
const ownPage = (back: unknown): back is string => typeof back === 'string' && /^\/(?![/\\])[\x21-\x7e]*$/.test(back)
