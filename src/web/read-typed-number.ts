export type TypedNumber = { readonly ok: true; readonly value: string } | { readonly ok: false; readonly fault: string }

/**
 * Reads a number typed with comma or point into plain decimal text, every digit kept: `3,90` → `3.90`.
 * `1,200` could be either of two numbers and is refused with both named. A fault quotes `whole` where the number was
 * part of what was typed.
 */
export function readTypedNumber(typed: string, whole = typed): TypedNumber {
  const text = typed
    .trim()
    .replace(/[\s\u00a0\u202f]/g, '')
    .replace(/^[−–]/, '-')
  const [, thousands, digits] = /^(-?[1-9]\d{0,2})[,](\d{3})$/.exec(text) ?? []
  if (thousands !== undefined)
    return {
      ok: false,
      fault: `“${whole.trim()}” may be ${thousands}.${digits} or ${thousands}${digits}: write one of these`,
    }
  const plain = text.replace(',', '.')
  if (/^-?\d{1,12}(\.\d{1,9})?$/.test(plain)) return { ok: true, value: plain.replace(/^(-?)0+(?=\d)/, '$1') }
  if (/^-?\.\d{1,9}$/.test(plain)) return { ok: true, value: plain.replace('.', '0.') }
  return { ok: false, fault: `“${whole.trim()}” is no number: write it like 3.8` }
}

/** A time of day as people type it: `14:30`, `2.30 pm`, `9am` → `14:30`, `14:30`, `09:00`; null when it is none. */
export function readTypedTime(typed: string): string | null {
  const [, hours, minutes = '00', half] =
    /^(\d{1,2})(?:[:.h]?([0-5]\d))?\s*([ap])?\.?(?:m\.?)?$/.exec(typed.trim().toLowerCase()) ?? []
  const hour = Number(hours)
  if (hours === undefined || hour > 23 || (half !== undefined && (hour === 0 || hour > 12))) return null
  const full = half === undefined ? hour : (hour % 12) + (half === 'p' ? 12 : 0)
  return `${String(full).padStart(2, '0')}:${minutes}`
}
