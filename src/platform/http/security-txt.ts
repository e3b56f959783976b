import type { FastifyInstance } from 'fastify'
import type { Deps } from '../deps.ts'

const halfAYear = 182 * 86_400_000

/** Whom to tell about a weakness (RFC 9116); it expires half a year from the day it is read. */
export function securityTxt(app: FastifyInstance, { clock, config }: Pick<Deps, 'clock' | 'config'>): void {
  const path = '/.well-known/security.txt'
  app.get(path, { config: { open: 'A contact for strangers.' } }, (_request, reply) => {
    const expires = new Date(clock.now() + halfAYear)
    expires.setUTCHours(0, 0, 0, 0)
    const lines = [
      `Contact: ${config.securityContact}`,
      `Expires: ${expires.toISOString()}`,
      `Canonical: ${config.publicUrl}${path}`,
      'Preferred-Languages: en',
    ]
    return reply.type('text/plain; charset=utf-8').send(`${lines.join('\n')}\n`)
  })
}
