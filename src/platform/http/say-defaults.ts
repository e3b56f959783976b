type Schema = { default?: unknown; description?: string }

/**
 * Says in words what a field of a request is when it is left out. Generators of clients take a field with `default` for
 * one that is always there, as it is in an answer, and would have every caller send it.
 */
export function sayDefaults(schema: unknown): void {
  if (typeof schema !== 'object' || schema === null) return
  for (const inner of Object.values(schema)) sayDefaults(inner)
  const { default: fallback, description } = schema as Schema
  // A property may be called `default` too: then it is a schema.
  if (fallback === undefined || (typeof fallback === 'object' && !Array.isArray(fallback))) return
  delete (schema as Schema).default
  const words = `${JSON.stringify(fallback)} when left out`
  ;(schema as Schema).description = description ? `${description}; ${words}` : words
}
