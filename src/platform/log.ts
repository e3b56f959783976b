import pino, { type Logger } from 'pino'

export type { Logger } from 'pino'

/** JSON lines, UTC; whatever could carry a secret or a person's data by its key is left out. */
export const createLog = (level: string, destination?: pino.DestinationStream): Logger =>
  pino(
    {
      level,
      base: undefined,
      timestamp: pino.stdTimeFunctions.isoTime,
      serializers: { err: plainError },
      redact: {
        paths: [
          '*.password',
          '*.token',
          '*.secret',
          '*.authorization',
          '*.cookie',
          'req.headers',
          'headers',
          '*.email',
        ],
        censor: '[left out]',
      },
    },
    destination ?? pino.destination(1),
  )

// What PostgreSQL adds to its errors (detail, where) quotes rows, and rows hold people.
const plainError = (error: unknown) => {
  if (!(error instanceof Error)) return { message: String(error) }
  const { code } = error as { code?: unknown }
  return { type: error.name, message: error.message, code, stack: error.stack }
}
