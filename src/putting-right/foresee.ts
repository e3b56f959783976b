import type { Database, Tx } from '../platform/db/client.ts'

class RolledBack extends Error {}

/** Does all of it and takes it back, whatever comes: what it gives is what doing it would give. */
export async function foresee<T>(db: Database, work: (tx: Tx) => Promise<T>): Promise<T> {
  let foreseen: { readonly value: T } | undefined
  try {
    await db.transaction(async tx => {
      foreseen = { value: await work(tx) }
      throw new RolledBack()
    })
  } catch (error) {
    if (!(error instanceof RolledBack)) throw error
  }
  return foreseen!.value
}
