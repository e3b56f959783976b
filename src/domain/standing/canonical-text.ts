/** JSON text with object keys in order, so that equal answers are equal text. */
export const canonicalText = (value: unknown): string => JSON.stringify(inOrder(value)) ?? 'null'

// A copy in order, then the machine's own printing: half the time of a replacer that sorts, or of text put together here.
function inOrder(value: unknown): unknown {
  if (value === null || typeof value !== 'object') return value
  if (Array.isArray(value)) return value.map(inOrder)
  const record = value as Readonly<Record<string, unknown>>
  const ordered: Record<string, unknown> = {}
  for (const key of Object.keys(record).sort()) ordered[key] = inOrder(record[key])
  return ordered
}
