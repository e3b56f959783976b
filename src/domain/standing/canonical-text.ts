/** JSON text with object keys in order, so that equal answers are equal text. */
export const canonicalText = (value: unknown): string => textOf(value) ?? 'null'

// Written out, because a replacer that sorts makes every object twice: half the time of standing a home anew.
function textOf(value: unknown): string | undefined {
  if (value === null || typeof value !== 'object') return JSON.stringify(value)
  if (Array.isArray(value)) return `[${value.map(item => textOf(item) ?? 'null').join()}]`
  const record = value as Readonly<Record<string, unknown>>
  const members: string[] = []
  for (const key of Object.keys(record).sort()) {
    const text = textOf(record[key])
    if (text !== undefined) members.push(`${JSON.stringify(key)}:${text}`)
  }
  return `{${members.join()}}`
}
