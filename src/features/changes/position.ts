/**
 * A place in the feed: behind every change before (xid, seq). It also says of which life of the database it is (a restore
 * begins a new one) and when it was given, because changes are kept only so long.
 */
export type Position = {
  readonly life: string
  readonly xid: string
  readonly seq: string
  /** Epoch milliseconds. */
  readonly givenAt: number
}

/** A position as an opaque text. */
export const positionText = ({ life, xid, seq, givenAt }: Position): string =>
  Buffer.from(`1.${life}.${xid}.${seq}.${givenAt}`).toString('base64url')

/** What `positionText` wrote, or null for a text that it did not. */
export function positionOf(text: string): Position | null {
  const plain = Buffer.from(text, 'base64url').toString('latin1')
  const match = /^1\.([\d-]{1,60})\.(\d{1,19})\.(\d{1,19})\.(\d{1,15})$/.exec(plain)
  const [, life, xid, seq, givenAt] = match ?? []
  if (!life || !xid || !seq || !givenAt) return null
  return { life, xid, seq, givenAt: Number(givenAt) }
}
