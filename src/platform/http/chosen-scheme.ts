import type { FastifyRequest } from 'fastify'

/** Light or dark as this browser's cookie tells it was chosen; null follows the device. */
export function chosenScheme({ cookies }: FastifyRequest): 'light' | 'dark' | null {
  const said = cookies.scheme
  return said === 'light' || said === 'dark' ? said : null
}
