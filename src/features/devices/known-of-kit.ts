import { type KitFacts, kitStateOf } from '../../domain/devices/kit-facts.ts'
import type { KitRow } from './kit-queries.ts'

/** What is known of a kit, by its own row and the test that names it. */
export const knownOfKit = (kit: KitRow): KitFacts => ({
  number: kit.number,
  lotExpiresOn: kit.lotExpiresOn,
  leftOn: kit.leftOn,
  exposedFrom: kit.exposedFrom ?? kit.test?.exposedFrom ?? null,
  exposedTo: kit.exposedTo ?? kit.test?.exposedTo ?? null,
  postedOn: kit.postedOn ?? kit.test?.postedOn ?? null,
  answeredOn: kit.test?.answeredOn ?? null,
  returnedOn: kit.returnedOn,
  lostOn: kit.lostOn,
})

export const stateOfKit = (kit: KitRow) => kitStateOf(knownOfKit(kit))
