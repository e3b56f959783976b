/** The plain tar format (POSIX ustar): enough of it to write and read an archive of small entries in order. */

const block = 512

export type Entry = { readonly name: string; readonly content: Buffer }

/** One entry as it stands in the archive: header, content, filling. @param mtime seconds since 1970. */
export function tarEntry(name: string, content: Buffer, mtime: number): Buffer {
  const header = Buffer.alloc(block)
  header.write(name, 0, 100)
  header.write('0000600\0', 100)
  header.write('0000000\0', 108)
  header.write('0000000\0', 116)
  header.write(`${content.length.toString(8).padStart(11, '0')}\0`, 124)
  header.write(`${mtime.toString(8).padStart(11, '0')}\0`, 136)
  header.write('0', 156)
  header.write('ustar\x0000', 257)
  header.write(`${checksumOf(header).toString(8).padStart(6, '0')}\0 `, 148)
  return Buffer.concat([header, content, Buffer.alloc(fillingOf(content.length))])
}

export const tarEnd = Buffer.alloc(2 * block)

/** The entries in their order. Throws when the archive is damaged or ends before its end mark. */
export async function* tarEntries(bytes: AsyncIterable<Buffer>): AsyncGenerator<Entry> {
  const take = reader(bytes)
  for (;;) {
    const header = await take(block)
    if (header.every(byte => byte === 0)) return
    if (Number.parseInt(header.toString('latin1', 148, 154), 8) !== checksumOf(header))
      throw new Error('damaged header')
    const size = Number.parseInt(header.toString('latin1', 124, 135), 8)
    const content = await take(size)
    await take(fillingOf(size))
    yield { name: header.toString('utf8', 0, header.indexOf(0)), content }
  }
}

const fillingOf = (size: number): number => (block - (size % block)) % block

/** The sum of the header's bytes, its own field counted as spaces. */
function checksumOf(header: Buffer): number {
  let sum = 8 * 0x20
  for (let index = 0; index < block; index += 1) if (index < 148 || index >= 156) sum += header[index]!
  return sum
}

function reader(bytes: AsyncIterable<Buffer>): (size: number) => Promise<Buffer> {
  const source = bytes[Symbol.asyncIterator]()
  let kept: Buffer[] = []
  let length = 0
  return async size => {
    while (length < size) {
      const next = await source.next()
      if (next.done) throw new Error('it ends too early')
      kept.push(next.value)
      length += next.value.length
    }
    const all = kept.length === 1 ? kept[0]! : Buffer.concat(kept)
    kept = [all.subarray(size)]
    length = all.length - size
    return all.subarray(0, size)
  }
}
