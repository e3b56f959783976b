import { type SettledOld, settleOldAddress } from '../../features/properties/settle-address.ts'
import type { RowFault } from '../table/row-fault.ts'
import { faultsOf } from './faults-of-home.ts'
import type { FileHome } from './gather-homes.ts'
import { Packed } from './packed.ts'

type PropertyColumns = Extract<SettledOld, { ok: true }>['settled']

/** New homes of a table, located before the transaction, by what was looked up. */
export class LocatedHomes {
  readonly #found = new Packed<PropertyColumns | readonly RowFault[]>()
  readonly #byKey = new Map<string, number>()

  /** The faults of a new home's address; none once it is located, which is kept for the commit. */
  async locate(home: FileHome, assumedZone: string): Promise<readonly RowFault[]> {
    const known = this.#get(home.key)
    if (known) return 'zone' in known ? [] : known
    const { address, yearBuilt } = home
    const found = await settleOldAddress({ ...address, yearBuilt, foundationAreas: [], testLocations: [] }, assumedZone)
    const faults = found.ok
      ? []
      : found.faults.flatMap(({ pointer, detail }) =>
          faultsOf(home, { problem: `does not fit: ${detail}`, remedy: 'Correct it in the table.' }, pointer.slice(1)),
        )
    this.#byKey.set(home.key, this.#found.add(found.ok ? found.settled : faults))
    return faults
  }

  /** The columns of a new home whose address fits. */
  columnsOf({ key }: FileHome): PropertyColumns | null {
    const found = this.#get(key)
    return found && 'zone' in found ? found : null
  }

  #get(key: string): PropertyColumns | readonly RowFault[] | undefined {
    const number = this.#byKey.get(key)
    return number === undefined ? undefined : this.#found.get(number)
  }
}
