import type { TestApp } from './test-app.ts'

type Schema = {
  readonly $ref?: string
  readonly type?: string | readonly string[]
  readonly anyOf?: readonly Schema[]
  readonly properties?: Readonly<Record<string, Schema>>
  readonly items?: Schema
  readonly enum?: readonly unknown[]
  readonly const?: unknown
  readonly format?: string
  readonly pattern?: string
  readonly maxLength?: number
}
type Operation = { operationId?: string; requestBody?: { content: Record<string, { schema: Schema }> } }

/** Gives a text for a free text field, by where it stands and how much it holds; undefined leaves it as it is. */
export type TextFor = (pointer: string, most: number) => string | undefined

/** Gives a function that fills every free text field an operation's body may have, beside what the body says already. */
export function bodyFiller(t: TestApp): (operationId: string, body: object, textFor: TextFor) => object {
  const document = t.app.swagger() as unknown as {
    paths: Record<string, Record<string, Operation>>
    components: { schemas: Record<string, Schema> }
  }
  const operations = new Map(
    Object.values(document.paths).flatMap(methods =>
      Object.values(methods).map(one => [one.operationId, one.requestBody?.content['application/json']?.schema]),
    ),
  )
  const resolved = (schema: Schema): Schema => {
    if (schema.$ref) return resolved(document.components.schemas[schema.$ref.split('/').pop()!]!)
    const said = schema.anyOf?.find(one => one.type !== 'null')
    return said ? resolved(said) : schema
  }
  const isFree = ({ type, enum: known, const: fixed, format, pattern }: Schema) =>
    type === 'string' && known === undefined && fixed === undefined && format === undefined && pattern === undefined

  function filled(schema: Schema, given: unknown, pointer: string, textFor: TextFor): unknown {
    const { properties, items, maxLength } = resolved(schema)
    if (Array.isArray(given))
      return items ? given.map((one, at) => filled(items, one, `${pointer}/${at}`, textFor)) : given
    if (properties) {
      const said = (given ?? {}) as Record<string, unknown>
      const made = Object.entries(properties).flatMap(([name, part]) => {
        const at = `${pointer}/${name}`
        const text = isFree(resolved(part)) ? textFor(at, resolved(part).maxLength ?? 200) : undefined
        if (text !== undefined) return [[name, text]]
        return name in said ? [[name, filled(part, said[name], at, textFor)]] : []
      })
      return { ...said, ...Object.fromEntries(made) }
    }
    return (isFree(resolved(schema)) ? textFor(pointer, maxLength ?? 200) : undefined) ?? given
  }
  return (operationId, body, textFor) => {
    const schema = operations.get(operationId)
    return (schema ? filled(schema, body, operationId, textFor) : body) as object
  }
}
