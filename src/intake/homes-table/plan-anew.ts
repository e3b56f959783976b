import { sql, type Tx } from '../../platform/db/client.ts'

const analyze = sql(
  'import-analyze',
  `analyze property, foundation_area, customer, ownership, property_person, system, system_component, system_event,
     gauge_reading, test, exposure, note, search_phrase, standing, obligation`,
)

/**
 * The first book of a company goes into empty tables, and plans that the connection has made for those read all of them
 * once they are full. Told of their size, the database plans anew: after the first rounds, and each time there is four
 * times as much.
 */
export function plansAnew(tx: Tx): (written: number) => Promise<void> {
  let next = 1
  return async written => {
    if (written < next) return
    next = written * 4
    await tx.rows(analyze)
  }
}
