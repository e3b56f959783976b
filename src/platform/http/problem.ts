/** One fault of a request: where (JSON pointer), a stable code, what to do about it, what was found there. */
export type Fault = {
  readonly pointer: string
  readonly code: string
  readonly detail: string
  readonly found?: string
}

/** An answer that is not the one hoped for, in the shape of RFC 9457. Thrown anywhere, answered in one place. */
export class Problem extends Error {
  readonly status: number
  readonly code: string
  readonly errors: readonly Fault[]
  readonly headers: Readonly<Record<string, string>>
  readonly extra: Readonly<Record<string, unknown>>
  constructor(
    status: number,
    code: string,
    detail: string,
    more: { errors?: readonly Fault[]; headers?: Record<string, string>; extra?: Record<string, unknown> } = {},
  ) {
    super(detail)
    this.status = status
    this.code = code
    this.errors = more.errors ?? []
    this.headers = more.headers ?? {}
    this.extra = more.extra ?? {}
  }
}

export const problem = (status: number, code: string, detail: string, errors: readonly Fault[] = []): Problem =>
  new Problem(status, code, detail, { errors })

/** Not there, or not yours: the two answer alike, to the byte. */
export const notFound = (noun: string): Problem => problem(404, 'not-found', `There is no such ${noun}.`)

/** The record has moved on since the caller read it. */
export const stale = (currentVersion: number): Problem =>
  new Problem(412, 'stale', 'Somebody changed this since you read it. Read it again and repeat your change.', {
    headers: { etag: `"${currentVersion}"` },
    extra: { currentVersion },
  })
