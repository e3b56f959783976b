import type { AddressKey } from '../../domain/address/address-key.ts'
import { type FileHome, homeOfRow, joined, keyOfRow } from './gather-homes.ts'
import type { HomeCells } from './home-facts.ts'
import { Packed } from './packed.ts'

/** A home of a table by the rows that tell it: all that is held of each while the others are looked at. */
export type TableHome = {
  /** The same for every row of the home. */
  readonly key: string
  /** Named by the id of one on record, not by its address. */
  readonly byId: boolean
  readonly rows: readonly number[]
  /** The same home as other keys tell it. */
  readonly also: readonly TableHome[]
}

const ONE_KEY: readonly TableHome[] = []

/** The homes that a table tells: its rows packed, and which of them are one home. */
export class HomesOfTable {
  readonly #rows = new Packed<HomeCells>()
  readonly #byKey = new Map<string, TableHome & { readonly rows: number[] }>()

  /** Rows whose whole address is the same, once spelling is out of the way, are one home; nothing else is put together. */
  take(row: HomeCells): void {
    const key = keyOfRow(row)
    const number = this.#rows.add(row)
    const known = this.#byKey.get(key)
    if (known) known.rows.push(number)
    else this.#byKey.set(key, { key, byId: row.id !== null, rows: [number], also: ONE_KEY })
  }

  /** In the order in which the table first tells them. */
  all(): Iterable<TableHome> {
    return this.#byKey.values()
  }

  /** All that the table says of a home. */
  whole({ rows, also }: TableHome): FileHome {
    const tellings = rows.map(number => homeOfRow(this.#rows.get(number)))
    return [...tellings, ...also.map(other => this.whole(other))].reduce(joined)
  }
}

export const withAlso = (home: TableHome, other: TableHome): TableHome => ({ ...home, also: [...home.also, other] })

/** The address of a home that is not named by its id, as it is compared: its key, taken apart. */
export function comparedOf({ key }: TableHome): AddressKey {
  const [street = '', unit = '', city = '', ...rest] = key.split('|')
  const postcode = rest.pop() ?? ''
  // The last three characters of the region are a blank and the country.
  return { street, unit, city, region: rest.join('|').slice(0, -3), postcode }
}
