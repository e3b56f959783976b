import {
  areaParts,
  bookingParts,
  callbackPlaceParts,
  eventParts,
  homeParts,
  kitPlaceParts,
  noteParts,
  partyPlaceParts,
  suctionPointParts,
  systemParts,
  visitParts,
} from './parts/at-home.ts'
import { exposureParts } from './parts/exposure.ts'
import { importParts } from './parts/import.ts'
import { testParts } from './parts/test.ts'
import { testLocationParts } from './parts/test-location.ts'
import type { Nouns } from './record-parts.ts'

/** Every noun of which corrections change fields, under the name that the audit log gives it. */
export const nouns: Nouns = {
  booking: bookingParts,
  callback: callbackPlaceParts,
  exposure: exposureParts,
  foundation_area: areaParts,
  home_event: eventParts,
  import: importParts,
  kit: kitPlaceParts,
  note: noteParts,
  property: homeParts,
  suction_point: suctionPointParts,
  system: systemParts,
  test: testParts,
  test_location: testLocationParts,
  visit: visitParts,
  work_party: partyPlaceParts,
}
