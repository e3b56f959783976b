import { putCallbacks } from '../../features/callbacks/put-callbacks.ts'
import { putBookings, putKits } from '../../features/devices/put-home-devices.ts'
import { putNotes } from '../../features/documents/put-notes.ts'
import { putLinks, putReports } from '../../features/homeowner/put-page.ts'
import { putOutreach } from '../../features/month/put-outreach.ts'
import { putParties } from '../../features/parties/put-parties.ts'
import { putAreas, putEvents, putHomes, putRooms } from '../../features/properties/put-homes.ts'
import { putSuctionPoints, putSystems } from '../../features/systems/put-systems.ts'
import { putVisits } from '../../features/visits/put-visits.ts'
import { putImports } from '../../intake/put-imports.ts'
import { plainParts } from '../plain-parts.ts'

const atHome = { propertyId: 'property_id' }

export const visitParts = plainParts({
  table: 'visit',
  the: 'A visit',
  references: { ...atHome, testId: 'test_id', callbackId: 'callback_id' },
  put: putVisits,
})
export const systemParts = plainParts({ table: 'system', the: 'A system', references: atHome, put: putSystems })
export const suctionPointParts = plainParts({
  table: 'suction_point',
  the: 'A suction point',
  references: { foundationAreaId: 'foundation_area_id' },
  voids: false,
  put: (tx, act, changes, reason) =>
    putSuctionPoints(
      tx,
      act,
      changes.map(({ id, foundationAreaId }) => ({ id, foundationAreaId: foundationAreaId as string | null })),
      reason,
    ),
})
export const eventParts = plainParts({ table: 'home_event', the: 'What happened', references: atHome, put: putEvents })
export const areaParts = plainParts({
  table: 'foundation_area',
  the: 'A part of the foundation',
  references: atHome,
  put: putAreas,
})
export const noteParts = plainParts({
  table: 'note',
  the: 'A note',
  references: { ...atHome, subjectId: 'subject_id' },
  put: putNotes,
})
export const outreachParts = plainParts({
  table: 'outreach',
  the: 'A call or putting off',
  references: atHome,
  voids: false,
  put: putOutreach,
})
export const bookingParts = plainParts({
  table: 'device_booking',
  the: 'A booking',
  references: atHome,
  put: putBookings,
})
export const homeParts = plainParts({
  table: 'property',
  the: 'The home',
  references: { mergedIntoId: 'merged_into_id' },
  put: (tx, act, changes, reason) =>
    putHomes(
      tx,
      act,
      changes.map(({ id, ...was }) => ({ id, voidedAt: null, ...was })),
      reason,
    ),
})
export const callbackPlaceParts = plainParts({
  table: 'callback',
  the: 'A callback',
  references: { ...atHome, systemId: 'system_id' },
  put: putCallbacks,
})
export const kitPlaceParts = plainParts({
  table: 'kit',
  the: 'A kit',
  references: { ...atHome, locationId: 'location_id' },
  put: putKits,
})
export const partyPlaceParts = plainParts({
  table: 'work_party',
  the: 'A part in a piece of work',
  references: atHome,
  voids: false,
  put: putParties,
})
export const roomPlaceParts = plainParts({
  table: 'test_location',
  the: 'A room',
  references: { ...atHome, foundationAreaId: 'foundation_area_id' },
  put: putRooms,
})
export const linkPlaceParts = plainParts({
  table: 'homeowner_link',
  the: 'A link to the home’s page',
  references: atHome,
  voids: false,
  put: putLinks,
})
export const reportPlaceParts = plainParts({
  table: 'homeowner_report',
  the: 'What was sent in',
  references: atHome,
  voids: false,
  put: putReports,
})
export const importPlaceParts = plainParts({
  table: 'import_batch',
  the: 'An import',
  references: atHome,
  voids: false,
  put: putImports,
})
