import { fastify } from 'fastify'
import { assetRoutes } from '../../src/web/asset-routes.ts'
import { gallery } from './gallery.tsx'

const policy =
  "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self'; form-action 'self'"

/** The gallery on a port of its own, under the strictest content policy the pages are made for. */
export async function serveGallery(): Promise<{ origin: string; close(): Promise<void> }> {
  const app = fastify()
  await app.register(assetRoutes)
  for (const [address, page] of Object.entries(gallery))
    app.get(address, async (_request, reply) =>
      reply
        .header('content-security-policy', policy)
        .type('text/html; charset=utf-8')
        .send(await page),
    )
  const origin = await app.listen({ port: 0, host: '127.0.0.1' })
  return { origin, close: () => app.close() }
}
