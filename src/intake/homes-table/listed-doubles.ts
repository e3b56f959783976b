import type { Double } from './find-doubles.ts'
import { MOST_LISTED } from './home-facts.ts'

/** The first of the likely doubles, those first that nobody has decided on, and how many of these there are in all. */
export class ListedDoubles {
  undecided = 0
  readonly #open: Double[] = []
  readonly #decided: Double[] = []

  /** Takes one in; it is looked at whole only where it is listed. */
  add(said: Double['said'], whole: () => Double): void {
    if (said === null) this.undecided++
    const list = said === null ? this.#open : this.#decided
    if (list.length < MOST_LISTED) list.push(whole())
  }

  first(): readonly Double[] {
    return [...this.#open, ...this.#decided].slice(0, MOST_LISTED)
  }
}
