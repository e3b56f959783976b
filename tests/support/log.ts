import { type Logger, pino } from 'pino'

export type LogLine = Readonly<Record<string, unknown>> & { readonly level: number; readonly msg?: string }
export type TestLog = {
  readonly log: Logger
  readonly lines: LogLine[]
  /** All of it as text, to search for what must not be there. */
  text(): string
}

/** A logger at its most talkative whose lines are kept. */
export function aLog(level = 'debug'): TestLog {
  const lines: LogLine[] = []
  const log = pino({ level }, { write: (line: string) => void lines.push(JSON.parse(line)) })
  return { log, lines, text: () => lines.map(line => JSON.stringify(line)).join('\n') }
}
