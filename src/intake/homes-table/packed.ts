import { deflateRawSync, inflateRawSync } from 'node:zlib'

/** Values pressed together: rows of one table say much the same, and take a twentieth of what they take as objects. */
const IN_A_BLOCK = 128
/** Blocks held open. Rows of one home that stand far apart, as on two sheets, are read side by side. */
const MOST_OPEN = 8

/** Many values of one kind, each by its number, held so that a hundred thousand of them take little memory. */
export class Packed<T> {
  readonly #blocks: Buffer[] = []
  readonly #open = new Map<number, readonly T[]>()
  #filling: T[] = []

  /** Takes a value in and gives its number. */
  add(value: T): number {
    const number = this.#blocks.length * IN_A_BLOCK + this.#filling.push(value) - 1
    if (this.#filling.length === IN_A_BLOCK) {
      this.#blocks.push(deflateRawSync(JSON.stringify(this.#filling), { level: 1 }))
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
