import type { Operation } from './describe-operation.ts'

/** What was sent to an operation and what it answered when all was well. */
export type Example = {
  readonly request?: unknown
  readonly response?: unknown
  /** What it answers with another status than usual. */
  readonly otherwise?: Readonly<Record<string, unknown>>
}

type Content = Record<string, { example?: unknown }>
const contentOf = (place: object | undefined): Content => (place as { content?: Content } | undefined)?.content ?? {}

/** Puts a body beside each schema it was sent or answered under. */
export function showExample(operation: Operation, example: Example = {}): void {
  const answers = Object.entries(operation.responses).filter(([status]) => status.startsWith('2'))
  const shown = [
    [contentOf(operation.requestBody), example.request],
    ...answers.map(([status, answer]) => [contentOf(answer), example.otherwise?.[status] ?? example.response] as const),
  ] as const
  for (const [content, body] of shown)
    for (const media of Object.values(content)) if (body !== undefined) media.example = body
}
