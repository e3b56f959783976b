const tokens = /"((?:[^"\\]|\\.)*)"(\s*:)?|[{}[\]]/g

/**
 * The first field that one object of a well-formed JSON text names twice, or null. RFC 8259 leaves open which of the two
 * counts, so two programs could read two different things.
 */
export function repeatedField(json: string): string | null {
  const open: (Set<string> | null)[] = []
  for (const [token, name, colon] of json.matchAll(tokens)) {
    if (token === '{') open.push(new Set())
    else if (token === '[') open.push(null)
    else if (token === '}' || token === ']') open.pop()
    else if (colon !== undefined) {
      const names = open.at(-1)
      const plain = name?.includes('\\') ? (JSON.parse(`"${name}"`) as string) : (name ?? '')
      if (names?.has(plain)) return plain
      names?.add(plain)
    }
  }
  return null
}
