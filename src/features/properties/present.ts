import type { z } from 'zod'
import type { Actor } from '../../platform/auth/actor.ts'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import type { homeEventOut, ownershipOut, personOut } from './people-schemas.ts'
import type { Revision } from './revision-queries.ts'
import type { revisionOut } from './revision-schemas.ts'
import type { AroundHome, FoundationArea, HomeEvent, Property, TestLocation } from './rows.ts'
import type { foundationAreaOut, propertyOut, testLocationOut } from './schemas.ts'

/** Staff see who is around a home and how to get in; an app only with the scope for it. */
export const seesContacts = (actor: Actor): boolean =>
  actor.kind === 'app' ? actor.scopes.includes('contacts:read') : actor.kind !== 'homeowner'

/** A home shows how it stands in short, so its tag moves with both versions; If-Match goes by the first. */
export const tagOf = (home: Property): string => `${home.version}.${home.standing?.version ?? 0}`

export const presentProperty = (home: Property, contacts: boolean): z.input<typeof propertyOut> => ({
  id: home.id,
  street: home.street,
  unit: home.unit,
  city: home.city,
  region: home.region,
  postcode: home.postcode,
  country: home.country,
  zone: home.zone,
  zoneSource: home.zoneSource,
  jurisdiction: home.jurisdiction,
  buildingUse: home.buildingUse as z.input<typeof propertyOut>['buildingUse'],
  yearBuilt: home.yearBuilt,
  storeys: home.storeys,
  ...(contacts ? waysIn(home) : {}),
  foundationAreas: home.foundationAreas.map(presentArea),
  testLocations: home.testLocations.map(presentLocation),
  standing: home.standing && {
    outcome: home.standing.outcome,
    nextDueOn: home.standing.nextDueOn,
    version: home.standing.version,
  },
  version: home.version,
  createdAt: instantText(home.createdAt),
  updatedAt: instantText(home.updatedAt),
  voidedAt: instantTextOrNull(home.voidedAt),
  voidReason: home.voidReason,
  mergedIntoId: home.mergedIntoId,
})

const waysIn = (home: Property) => ({
  accessNote: home.accessNote,
  gateCode: home.gateCode,
  dogNote: home.dogNote,
  note: home.note,
})

export const presentArea = (area: FoundationArea): z.input<typeof foundationAreaOut> => ({
  id: area.id,
  kind: area.kind as z.input<typeof foundationAreaOut>['kind'],
  name: area.name,
  areaM2: area.areaM2,
  version: area.version,
})

export const presentLocation = (location: TestLocation): z.input<typeof testLocationOut> => ({
  id: location.id,
  name: location.name,
  floor: location.floor,
  roomKind: location.roomKind as z.input<typeof testLocationOut>['roomKind'],
  livedIn: location.livedIn,
  foundationAreaId: location.foundationAreaId,
  note: location.note,
  version: location.version,
})

const around = (person: AroundHome, contacts: boolean) => ({
  id: person.id,
  customerId: person.customerId,
  ...(contacts ? { name: person.name, email: person.email, phone: person.phone } : {}),
  fromOn: person.fromOn,
  untilOn: person.untilOn,
  version: person.version,
})

export const presentOwnership = (person: AroundHome, contacts: boolean): z.input<typeof ownershipOut> => ({
  ...around(person, contacts),
  roughly: person.roughly,
})

export const presentPerson = (person: AroundHome, contacts: boolean): z.input<typeof personOut> => ({
  ...around(person, contacts),
  role: person.role as z.input<typeof personOut>['role'],
})

export const presentEvent = (event: HomeEvent): z.input<typeof homeEventOut> => ({
  id: event.id,
  kind: event.kind as z.input<typeof homeEventOut>['kind'],
  at: instantTextOrNull(event.at),
  roughly: event.roughly,
  note: event.note,
  version: event.version,
  createdAt: instantText(event.createdAt),
  voidedAt: instantTextOrNull(event.voidedAt),
  voidReason: event.voidReason,
})

export const presentRevision = (revision: Revision, contacts: boolean): z.input<typeof revisionOut> => ({
  id: revision.id,
  noun: revision.noun,
  nounId: revision.nounId,
  version: revision.version,
  ...(contacts ? { was: { ...revision.was } } : {}),
  reason: revision.reason,
  byKind: revision.actorKind,
  byId: revision.actorId,
  at: instantText(revision.at),
})
