import { deflateRawSync, inflateRawSync } from 'node:zlib'

/** Values pressed together: rows of one table say much the same. Few enough that one of them is soon at hand. */
const IN_A_BLOCK = 16
/** Blocks held open: rows of one home may stand far apart, as where a table is sorted by date or has two sheets. */
const MOST_OPEN = 256

/** Many values of one kind, each by its number, held so that a hundred thousand of them take little memory. */
export class Packed<T> {
  readonly #blocks: Buffer[] = []
  readonly #open = new Map<number, readonly T[]>()
  #filling: T[] = []

  /** Takes a value in and gives its number. */
  add(value: T): number {
    const number = this.#blocks.length * IN_A_BLOCK + this.#filling.push(value) - 1
    if (this.#filling.length === IN_A_BLOCK) {
      // A copy: what comes back is the beginning of a buffer of 16 kB, which it would keep.
      this.#blocks.push(Buffer.from(deflateRawSync(JSON.stringify(this.#filling), { level: 1 })))
      this.#filling = []
    }
    return number
  }

  get(number: number): T {
    const block = Math.floor(number / IN_A_BLOCK)
    const values = block === this.#blocks.length ? this.#filling : this.#opened(block)
    return values[number % IN_A_BLOCK]!
  }

  #opened(block: number): readonly T[] {
    const values = this.#open.get(block) ?? JSON.parse(inflateRawSync(this.#blocks[block]!).toString())
    // The one used last stands last; the first is the one that nobody has asked for longest.
    this.#open.delete(block)
    this.#open.set(block, values)
    if (this.#open.size > MOST_OPEN) this.#open.delete(this.#open.keys().next().value!)
    return values
  }
}
