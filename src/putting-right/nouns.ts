import {
  areaParts,
  bookingParts,
  callbackPlaceParts,
  eventParts,
  homeParts,
  importPlaceParts,
  kitPlaceParts,
  linkPlaceParts,
  noteParts,
  outreachParts,
  partyPlaceParts,
  reportPlaceParts,
  roomPlaceParts,
  suctionPointParts,
  systemParts,
  visitParts,
} from './parts/at-home.ts'
import { callbackParts } from './parts/callback.ts'
import { customerParts, formerDetailParts } from './parts/customer.ts'
import { exposureParts } from './parts/exposure.ts'
import { linkParts, reportParts } from './parts/homeowner.ts'
import { importParts } from './parts/import.ts'
import { kitParts } from './parts/kit.ts'
import { mailParts, noticeParts } from './parts/mail.ts'
import { ownershipParts } from './parts/ownership.ts'
import { propertyPersonParts } from './parts/property-person.ts'
import { testParts } from './parts/test.ts'
import { testLocationParts } from './parts/test-location.ts'
import { workPartyParts } from './parts/work-party.ts'
import { combinedParts } from './plain-parts.ts'
import type { Nouns } from './record-parts.ts'

/** Every noun of which corrections change fields, under the name that the audit log gives it. */
export const nouns: Nouns = {
  booking: bookingParts,
  callback: combinedParts(callbackParts, callbackPlaceParts),
  customer: customerParts,
  exposure: exposureParts,
  import: combinedParts(importParts, importPlaceParts),
  former_detail: formerDetailParts,
  homeowner_link: combinedParts(linkParts, linkPlaceParts),
  homeowner_report: combinedParts(reportParts, reportPlaceParts),
  foundation_area: areaParts,
  home_event: eventParts,
  kit: combinedParts(kitParts, kitPlaceParts),
  mail: mailParts,
  note: noteParts,
  notice: noticeParts,
  outreach: outreachParts,
  ownership: ownershipParts,
  property_person: propertyPersonParts,
  property: homeParts,
  suction_point: suctionPointParts,
  system: systemParts,
  test: testParts,
  test_location: combinedParts(testLocationParts, roomPlaceParts),
  visit: visitParts,
  work_party: combinedParts(workPartyParts, partyPlaceParts),
}
