import { z } from 'zod'
import { filledText } from '../../platform/http/scalars.ts'
import { buildingUse, foundationKind, newProperty, newTestLocation, propertyCorrection } from './schemas.ts'
import { spoken } from './words.ts'

const version = z.coerce.number().int().min(1)
const whole = (least: number, most: number, words: string) =>
  z.coerce.number({ error: words }).int(words).min(least, words).max(most, words).optional()
const capitals = (text: string) => text.trim().toUpperCase()

const shape = newProperty.shape
const address = {
  street: shape.street,
  unit: shape.unit,
  city: shape.city,
  region: shape.region,
  postcode: shape.postcode,
  country: z.preprocess(value => (typeof value === 'string' ? capitals(value) : value), shape.country),
  zone: shape.zone,
  jurisdiction: shape.jurisdiction,
  buildingUse: buildingUse.optional(),
  yearBuilt: whole(1000, 2200, 'is no year: write it like 1964'),
  storeys: whole(1, 60, 'is no number of floors: write it like 2'),
  accessNote: shape.accessNote,
  gateCode: shape.gateCode,
  dogNote: shape.dogNote,
  note: shape.note,
}

/** How many rooms the form of a new home offers; more are added on the home's own page. */
export const roomRows = [1, 2, 3, 4, 5] as const
const room = (n: number) => ({
  [`room-${n}-name`]: newTestLocation.shape.name.optional(),
  [`room-${n}-floor`]: z.coerce.number().int().min(-5).max(120).optional(),
  [`room-${n}-kind`]: newTestLocation.shape.roomKind,
  [`room-${n}-livedIn`]: z.enum(['yes', 'no']).optional(),
})
const rooms: Record<string, z.ZodType> = Object.assign({}, ...roomRows.map(room))

/** A new home with its owner, foundation and rooms in one go; an empty field says nothing. */
export const newHomeForm = z
  .strictObject({
    ...address,
    ownerName: filledText(200).optional(),
    ownerPhone: filledText(40).optional(),
    ownerEmail: z.email('is no mail address: write it like name@example.com').optional(),
    ownerSince: filledText(40).optional(),
    areas: z.union([foundationKind.transform(kind => [kind]), z.array(foundationKind)]).default([]),
    ...rooms,
  })
  .transform(said => ({
    home: newProperty.parse({
      ...Object.fromEntries(Object.keys(address).map(name => [name, said[name as keyof typeof said]])),
      foundationAreas: said.areas.map(kind => ({ kind, name: spoken(kind) })),
      testLocations: roomRows.flatMap(n => roomFrom(said as Record<string, unknown>, n)),
    }),
    owner: { name: said.ownerName, phone: said.ownerPhone, email: said.ownerEmail, since: said.ownerSince },
  }))

const roomFrom = (said: Record<string, unknown>, n: number) => {
  const name = said[`room-${n}-name`]
  if (name === undefined) return []
  const livedIn = said[`room-${n}-livedIn`]
  return [
    {
      name,
      floor: said[`room-${n}-floor`] ?? 0,
      roomKind: said[`room-${n}-kind`],
      livedIn: livedIn === undefined ? null : livedIn === 'yes',
    },
  ]
}

const emptied = ['unit', 'region', 'postcode', 'accessNote', 'gateCode', 'dogNote', 'note'] as const

/** The form that corrects a home shows every field, so one that comes back empty was emptied. */
export const changeHomeForm = z
  .strictObject({ ...address, reason: filledText(500), version })
  .transform(({ version: of, ...said }) => ({
    version: of,
    patch: propertyCorrection.parse({
      ...said,
      ...Object.fromEntries(emptied.map(name => [name, said[name] ?? ''])),
      yearBuilt: said.yearBuilt ?? null,
      storeys: said.storeys ?? null,
    }),
  }))

export const voidHomeForm = z.strictObject({ voidReason: filledText(500), version })
