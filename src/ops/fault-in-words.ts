/** What the system and the database say when the program cannot start, by their codes. */
type Fault = {
  readonly code?: string
  readonly syscall?: string
  readonly path?: string
  readonly port?: number
  readonly address?: string
  readonly message: string
}

/** Why the program could not do its work, for the person who started it, and what to do. */
export function faultInWords(error: unknown): string {
  const fault = error as Fault
  const say = { ...systemFaults, ...databaseFaults }[fault?.code ?? '']
  return say?.(fault) ?? (error instanceof Error && error.message ? error.message : String(error))
}

type Words = { readonly [code: string]: (fault: Fault) => string | null }

const systemFaults: Words = {
  EADDRINUSE: ({ port }) => `Something else already uses port ${port}. Stop it, or start with another PORT.`,
  EADDRNOTAVAIL: ({ address }) => `This machine has no address ${address}. Set HOST to one it has, such as 127.0.0.1.`,
  EACCES: unusable,
  EPERM: unusable,
  EROFS: unusable,
  EEXIST: unusable,
  ENOTDIR: unusable,
  ENOSPC: () => 'The disk is full. Free some space and start again.',
}

function unusable({ path, port, syscall, message }: Fault): string | null {
  if (syscall === 'listen') return `Port ${port} needs rights this user does not have. Start with a PORT above 1023.`
  return path ? `${path} cannot be written (${message}). Set DATA_DIR to a folder this user may write to.` : null
}

const unreachable = ({ message, code }: Fault) =>
  `The database does not answer (${message || code}). Start it, or correct host and port in DATABASE_URL.`
const refused = ({ message }: Fault) => `The database refuses us: ${message}. Correct DATABASE_URL.`

const databaseFaults: Words = {
  ECONNREFUSED: unreachable,
  ENOTFOUND: unreachable,
  EAI_AGAIN: unreachable,
  EHOSTUNREACH: unreachable,
  ETIMEDOUT: unreachable,
  '28P01': refused,
  '28000': refused,
  '3D000': refused,
}
