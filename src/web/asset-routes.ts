import type { FastifyInstance } from 'fastify'
import { assets } from './read-assets.ts'

const access = { open: 'Style, script, typeface and icon hold nothing of anybody.' }

/** Serves the style sheet, script, typeface and icon under names that carry their hash, to be kept for a year. */
export async function assetRoutes(app: FastifyInstance): Promise<void> {
  for (const { path, type, body } of Object.values(assets)) {
    app.get(path, { config: access }, (_request, reply) =>
      reply
        .header('content-type', type)
        .header('cache-control', 'public, max-age=31536000, immutable')
        .header('x-content-type-options', 'nosniff')
        .send(body),
    )
  }
}
