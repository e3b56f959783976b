import { createHash } from 'node:crypto'

const modulus = 1n << 256n
const lineEnd = 0x0a

export type RowDigest = { take(piece: Buffer): void; end(): string }

/**
 * A digest of a table's rows in whatever order, from COPY's text: the sum of the hashes of its lines, which hold a row
 * each. Loading fills the gaps that long rows leave at the end of a page with shorter ones that come later, so the rows
 * of a restored table need not lie as they did.
 */
export function rowDigest(): RowDigest {
  let sum = 0n
  let rows = 0
  let begun: Buffer[] = []
  const add = (line: Buffer) => {
    sum = (sum + BigInt(`0x${createHash('sha256').update(line).digest('hex')}`)) % modulus
    rows += 1
  }
  return {
    take(piece) {
      let from = 0
      for (let end = piece.indexOf(lineEnd); end >= 0; end = piece.indexOf(lineEnd, from)) {
        const line = piece.subarray(from, end)
        add(begun.length > 0 ? Buffer.concat([...begun, line]) : line)
        begun = []
        from = end + 1
      }
      if (from < piece.length) begun.push(piece.subarray(from))
    },
    end: () => `${rows} ${sum.toString(16)}${begun.length > 0 ? ' cut' : ''}`,
  }
}
