/**
 * The scalars of the API's bodies, once: instants as RFC 3339 with offset, local days, decimals as text.
 * Inbound instants become epoch milliseconds; outbound ones are printed by `instantText`.
 */
import { z } from 'zod'

// U+0000 cannot be stored by PostgreSQL, a lone surrogate cannot be encoded: both are refused where they come in.
const storable = (text: string) => !text.includes('\u0000') && text.isWellFormed()
const storableMessage = 'holds a character that cannot be stored (U+0000 or half of a surrogate pair): remove it'

/** Text of at most `max` characters, trimmed. */
export const text = (max: number) => z.string().trim().max(max).refine(storable, storableMessage)
/** Text that says something. */
export const filledText = (max: number) => z.string().trim().min(1).max(max).refine(storable, storableMessage)

export const id = z.uuid()

/** RFC 3339 with offset → epoch milliseconds. Years 1900 to 2200. */
export const instantIn = z.iso
  .datetime({ offset: true, error: 'is no instant: write it like 2026-11-03T14:00:00-06:00' })
  .transform(value => Date.parse(value))
  .refine(ms => ms >= -2208988800000 && ms < 7258118400000, 'lies outside 1900 to 2200')
export const instantOut = z.iso.datetime({ offset: true })
export const instantText = (ms: number): string => new Date(ms).toISOString()
export const instantTextOrNull = (ms: number | null): string | null => (ms === null ? null : instantText(ms))

export const localDay = z.iso.date({ error: 'is no day: write it like 2026-11-03' })

/** A non-negative decimal as text, exactly as it was reported: `4.0` stays `4.0`. */
export const decimalText = z.string().regex(/^\d{1,9}(\.\d{1,6})?$/, 'is no plain decimal number: write it like 4.0')
/** A decimal that may be below zero, such as a pressure. */
export const signedDecimalText = z
  .string()
  .regex(/^-?\d{1,9}(\.\d{1,6})?$/, 'is no plain decimal number: write it like -0.85')
