import { z } from 'zod'
import { isZone } from '../../domain/calendar/zone-offset.ts'
import { filledText, id, instantOut, localDay, text } from '../../platform/http/scalars.ts'

export const buildingUse = z.enum(['home', 'rented-home', 'school', 'workplace', 'public-building'])
export const foundationKind = z.enum(['basement', 'slab', 'crawl-space', 'garage-slab', 'ground-contact-wall'])
// Named as the rules name the rooms that are never tested in.
export const roomKind = z.enum([
  'room',
  'bedroom',
  'living-room',
  'family-room',
  'dining-room',
  'office',
  'classroom',
  'basement',
  'crawlspace',
  'kitchen',
  'bathroom',
  'laundry',
  'closet',
  'cupboard',
  'spa',
  'sump',
  'utility-room',
  'garage',
  'hallway',
])

const oneLine = (line: string) => !/[\r\n]/.test(line)
const line = (max: number) => text(max).refine(oneLine, 'is one line: remove the line break')
const filledLine = (max: number) => filledText(max).refine(oneLine, 'is one line: remove the line break')
const country = z.string().regex(/^[A-Z]{2}$/, 'is no ISO 3166-1 code: write two capitals, like US')
const zone = z
  .string()
  .max(60)
  .refine(name => name.includes('/') && isZone(name), 'is no IANA time zone: write it like America/Chicago')
const jurisdiction = z
  .string()
  .regex(/^[A-Z]{2}(-[A-Z0-9]{1,3})?$/, 'is no jurisdiction: write it like US-MN or GB')
  .meta({ description: 'ISO 3166-1 country, or 3166-2 subdivision' })
const yearBuilt = z.number().int().min(1000).max(2200)
const storeys = z.number().int().min(1).max(60)

const described = {
  unit: line(40).optional(),
  region: line(60).optional(),
  postcode: line(20).optional(),
  zone: zone.optional().meta({ description: 'Found from the address when not given' }),
  jurisdiction: jurisdiction.optional(),
  buildingUse: buildingUse.optional(),
  yearBuilt: yearBuilt.nullish(),
  storeys: storeys.nullish(),
  accessNote: text(2000).optional(),
  gateCode: line(60).optional(),
  dogNote: line(200).optional(),
  note: text(4000).optional(),
}

export const newFoundationArea = z
  .strictObject({ kind: foundationKind, name: filledLine(100), areaM2: z.number().positive().max(100_000).nullish() })
  .meta({ id: 'NewFoundationArea' })
export type NewFoundationArea = z.output<typeof newFoundationArea>

export const newTestLocation = z
  .strictObject({
    name: filledLine(100),
    floor: z.number().int().min(-5).max(120).meta({ description: '-1 basement, 0 ground, 1 the first above it' }),
    roomKind: roomKind.optional(),
    livedIn: z.boolean().nullish().meta({ description: 'null: not known' }),
    foundationAreaId: id.nullish(),
    note: text(1000).optional(),
  })
  .meta({ id: 'NewTestLocation' })
export type NewTestLocation = z.output<typeof newTestLocation>

export const newProperty = z
  .strictObject({
    street: filledLine(200),
    city: filledLine(100),
    country,
    ...described,
    ownerId: id.nullish().meta({ description: 'A customer; the owner since `ownerSince`' }),
    ownerSince: localDay.nullish(),
    foundationAreas: z.array(newFoundationArea).max(40).default([]),
    testLocations: z
      .array(newTestLocation.omit({ foundationAreaId: true }))
      .max(200)
      .default([]),
  })
  .meta({ id: 'NewProperty' })
export type NewProperty = z.output<typeof newProperty>

export const propertyCorrection = z
  .strictObject({
    street: filledLine(200).optional(),
    city: filledLine(100).optional(),
    country: country.optional(),
    ...described,
    reason: filledText(500).meta({ description: 'Why; kept with the old values' }),
  })
  .meta({ id: 'PropertyCorrection' })
export type PropertyCorrection = z.output<typeof propertyCorrection>

export const voiding = z.strictObject({ reason: filledText(500) }).meta({ id: 'PropertyVoiding' })

export const verdictOutcome = z.enum(['below', 'at-or-above', 'needs-follow-up', 'disagreement', 'undetermined'])

export const propertyListQuery = z.strictObject({
  outcome: verdictOutcome.optional(),
  dueBefore: localDay.optional().meta({ description: 'Homes that owe something before this day' }),
  customerId: id.optional().meta({ description: 'Homes this customer owns or is around today' }),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

const standingInShort = z
  .object({ outcome: verdictOutcome, nextDueOn: localDay.nullable(), version: z.number().int() })
  .meta({ id: 'StandingInShort', description: 'The whole stands at /v1/properties/{id}/standing' })

export const foundationAreaOut = z
  .object({ id, kind: foundationKind, name: z.string(), areaM2: z.number().nullable(), version: z.number().int() })
  .meta({ id: 'FoundationArea' })

export const testLocationOut = z
  .object({
    id,
    name: z.string(),
    floor: z.number().int(),
    roomKind,
    livedIn: z.boolean().nullable(),
    foundationAreaId: id.nullable(),
    note: z.string(),
    version: z.number().int(),
  })
  .meta({ id: 'TestLocation' })

/** How to get in (codes, dogs) is left out for an app without `contacts:read`. */
export const propertyOut = z
  .object({
    id,
    street: z.string(),
    unit: z.string(),
    city: z.string(),
    region: z.string(),
    postcode: z.string(),
    country: z.string(),
    zone: z.string(),
    zoneSource: z.enum(['found', 'given', 'assumed']),
    jurisdiction: z.string(),
    buildingUse,
    yearBuilt: z.number().int().nullable(),
    storeys: z.number().int().nullable(),
    accessNote: z.string().optional(),
    gateCode: z.string().optional(),
    dogNote: z.string().optional(),
    note: z.string().optional(),
    foundationAreas: z.array(foundationAreaOut),
    testLocations: z.array(testLocationOut),
    standing: standingInShort.nullable(),
    version: z.number().int(),
    createdAt: instantOut,
    updatedAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
    mergedIntoId: id.nullable().meta({ description: 'It was a doubled entry: the one that stays' }),
  })
  .meta({ id: 'Property' })

export const propertyList = z
  .object({ items: z.array(propertyOut), next: z.string().nullable() })
  .meta({ id: 'PropertyList' })
