import { z } from 'zod'

/** Where the next page of a list on screen begins: the sort key of its last row, as text for an address. */
export const pageCursor = (key: readonly (string | number)[]): string =>
  Buffer.from(JSON.stringify(key)).toString('base64url')

/** The sort key in an address, checked by `shape`; null for none or for one that was tampered with: the first page then. */
export function readPageCursor<S extends z.ZodType>(shape: S, text: string | undefined): z.output<S> | null {
  if (!text) return null
  try {
    return shape.parse(JSON.parse(Buffer.from(text, 'base64url').toString('utf8')))
  } catch {
    return null
  }
}

/** A name or day and an id: the sort key most lists on screen have. */
export const textAndId = z.tuple([z.string().max(300), z.uuid()])
