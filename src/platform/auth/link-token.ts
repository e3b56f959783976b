import { createHmac, timingSafeEqual } from 'node:crypto'

const mac = (key: string, linkId: string): Buffer =>
  createHmac('sha256', key).update(`homeowner link ${linkId}`).digest()
const idBytes = (linkId: string) => Buffer.from(linkId.replaceAll('-', ''), 'hex')

/** What stands in a mailed link: the row's id and a MAC over it under the newest key. Nothing of it is stored. */
export const linkTokenFor = (keys: readonly string[], linkId: string): string =>
  `${idBytes(linkId).toString('base64url')}.${mac(keys[0]!, linkId).toString('base64url')}`

/** The link id a token is of, under any of the keys; null for anything else. */
export function linkIdFrom(keys: readonly string[], token: string): string | null {
  const [idPart = '', macPart = ''] = token.split('.')
  const id = Buffer.from(idPart, 'base64url')
  const given = Buffer.from(macPart, 'base64url')
  if (id.length !== 16 || given.length !== 32) return null
  const hex = id.toString('hex')
  const linkId = hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5')
  // Every key is tried, so that the time taken does not tell which fits.
  const fits = keys.map(key => timingSafeEqual(mac(key, linkId), given))
  return fits.includes(true) ? linkId : null
}
