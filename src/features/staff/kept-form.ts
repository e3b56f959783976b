import { z } from 'zod'
import { safeNext } from './safe-next.ts'

const shape = z.object({ action: z.string(), fields: z.array(z.tuple([z.string(), z.string()])) })
/** A form that was sent when nobody was signed in, on its way through the sign-in page. */
export type KeptForm = z.output<typeof shape>

const largest = 100_000
// Of the session that ended, or a secret that is better typed again.
const dropped = ['_csrf', 'password', 'again', 'present']

/** What a form body holds, without what belonged to the ended session; null when there is nothing to keep. */
export function keepForm(action: string, body: unknown): string | null {
  if (typeof body !== 'object' || body === null || Buffer.isBuffer(body)) return null
  const fields = Object.entries(body).flatMap(([name, value]) =>
    dropped.includes(name) ? [] : [value].flat().map(one => [name, String(one)] as const),
  )
  const text = Buffer.from(JSON.stringify({ action, fields })).toString('base64url')
  return fields.length > 0 && text.length <= largest ? text : null
}

/** The form again, or null for a text that is none; it can only be sent to this site. */
export function keptFormOf(text: string): KeptForm | null {
  if (text === '') return null
  try {
    const form = shape.parse(JSON.parse(Buffer.from(text, 'base64url').toString('utf8')))
    return { ...form, action: safeNext(form.action) }
  } catch {
    return null
  }
}
