import type { FastifyInstance } from 'fastify'
import type { Config } from '../config.ts'

const policy = [
  "default-src 'none'",
  "style-src 'self'",
  "script-src 'self'",
  "img-src 'self'",
  "font-src 'self'",
  "connect-src 'self'",
  "manifest-src 'self'",
  "form-action 'self'",
  "base-uri 'none'",
  "object-src 'none'",
  "frame-ancestors 'none'",
].join('; ')

/** On every answer, whatever it is. */
export const headersFor = (config: Pick<Config, 'publicUrl'>): Readonly<Record<string, string>> => ({
  'content-security-policy': policy,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'strict-origin-when-cross-origin',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'camera=(), geolocation=(), microphone=()',
  'cache-control': 'no-store',
  ...(config.publicUrl.startsWith('https:') && {
    'strict-transport-security': 'max-age=31536000; includeSubDomains',
  }),
})

export function sendHeaders(app: FastifyInstance, config: Config): void {
  const headers = headersFor(config)
  app.addHook('onRequest', (request, reply, done) => {
    reply.headers(headers).header('x-request-id', request.id)
    done()
  })
}
