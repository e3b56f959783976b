import { z } from 'zod'
import { edtfDays } from '../../domain/calendar/edtf.ts'
import { filledText, id, instantIn, instantOut, signedDecimalText, text } from '../../platform/http/scalars.ts'
import { standingOut } from '../../standing/answer-schemas.ts'

export const systemType = z.enum([
  'sub-slab-suction',
  'drain-tile-suction',
  'sump-suction',
  'block-wall-suction',
  'sub-membrane-suction',
  'crawlspace-ventilation',
  'house-pressurization',
  'heat-recovery-ventilation',
  'passive-stack',
  'water-aeration',
  'water-carbon',
  'other',
  'unknown',
])
export const installedBy = z.enum(['us', 'another', 'builder', 'owner', 'unknown'])
export const componentKind = z.enum([
  'fan',
  'pipe',
  'gauge',
  'alarm',
  'valve',
  'sump-lid',
  'membrane',
  'disconnect',
  'outlet',
  'other',
])
export const systemEventKind = z.enum([
  'first-start',
  'off',
  'on',
  'completed',
  'signed-off',
  'sealed',
  'altered',
  'repaired',
])
export const gaugeRole = z.enum(['start-up', 'adopted', 'visit', 'reported'])
export const pressureUnit = z.enum(['in. w.c.', 'Pa'])

/** ISO 8601-2 (EDTF level 1) year, month, season (21 spring … 24 winter), day or interval, `?` uncertain, `~` about. */
const edtf = z
  .string()
  .max(25)
  .refine(
    text => edtfDays(text) !== null,
    'is no date that may be rough: write 2011, 2011-04, 2011-21 for spring 2011, or 2009? when unsure',
  )

/** A moment known exactly (`at`), roughly (`approx`), or not at all (neither). */
export const when = z
  .strictObject({ at: instantIn.nullish(), approx: edtf.nullish() })
  .refine(value => !(value.at != null && value.approx != null), 'holds both at and approx: send one')
  .meta({ id: 'When' })
export type WhenIn = z.output<typeof when>

export const newComponent = z
  .strictObject({
    kind: componentKind,
    model: text(120).optional(),
    serial: text(120).optional(),
    lot: text(120).optional(),
    place: text(200).optional(),
    installed: when.optional(),
    removed: when.optional(),
    removalReason: text(500).optional(),
    note: text(2000).optional(),
  })
  .meta({ id: 'NewComponent' })
export type NewComponent = z.output<typeof newComponent>

export const componentCorrection = newComponent
  .partial()
  .extend({ reason: filledText(500) })
  .meta({ id: 'ComponentCorrection' })
export type ComponentCorrection = z.output<typeof componentCorrection>

export const newSuctionPoint = z
  .strictObject({
    name: filledText(120),
    foundationAreaId: id.nullish(),
    since: instantIn.nullish(),
    until: instantIn.nullish(),
    note: text(2000).optional(),
  })
  .meta({ id: 'NewSuctionPoint' })
export type NewSuctionPoint = z.output<typeof newSuctionPoint>

export const newSystemEvent = z
  .strictObject({ kind: systemEventKind, when, note: text(2000).optional() })
  .meta({ id: 'NewSystemEvent' })
export type NewSystemEvent = z.output<typeof newSystemEvent>

export const newGaugeReading = z
  .strictObject({
    role: gaugeRole,
    value: signedDecimalText,
    unit: pressureUnit,
    at: instantIn,
    readBy: text(200).optional(),
    note: text(2000).optional(),
  })
  .meta({ id: 'NewGaugeReading' })
export type NewGaugeReading = z.output<typeof newGaugeReading>

const own = {
  tag: filledText(60).nullish(),
  type: systemType,
  active: z.boolean().default(true).meta({ description: 'false: a passive pipe without a fan' }),
  installedBy: installedBy.default('unknown'),
  installerName: text(200).default(''),
  note: text(2000).default(''),
}

export const newSystem = z
  .strictObject({
    ...own,
    components: z.array(newComponent).max(60).default([]),
    suctionPoints: z.array(newSuctionPoint).max(40).default([]),
    events: z.array(newSystemEvent).max(60).default([]),
    gaugeReadings: z.array(newGaugeReading).max(60).default([]),
  })
  .meta({ id: 'NewSystem' })
export type NewSystem = z.output<typeof newSystem>

export const systemCorrection = z
  .strictObject({
    tag: filledText(60).nullish(),
    type: systemType.optional(),
    active: z.boolean().optional(),
    installedBy: installedBy.optional(),
    installerName: text(200).optional(),
    note: text(2000).optional(),
    reason: filledText(500),
  })
  .meta({ id: 'SystemCorrection' })
export type SystemCorrection = z.output<typeof systemCorrection>

export const voiding = z.strictObject({ reason: filledText(500) })

export const systemListQuery = z.strictObject({
  propertyId: id.optional(),
  tag: z.string().max(60).optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})

/** Takes a reading for the baseline of a system whose start-up value is not known, or no longer holds. */
export const newBaseline = z
  .strictObject({
    value: signedDecimalText,
    unit: pressureUnit,
    at: instantIn.meta({ description: 'When it was read' }),
    readBy: text(200).optional(),
    reason: filledText(500).meta({ description: 'Why it may stand for the start-up value' }),
  })
  .meta({ id: 'NewBaseline' })
export type NewBaseline = z.output<typeof newBaseline>

/** The fan that makes a driven system of a passive pipe. */
export const activation = z
  .strictObject({
    startedAt: instantIn,
    type: systemType.optional().meta({ description: 'What kind of system it is from now on' }),
    fan: z.strictObject({
      model: text(120).optional(),
      serial: text(120).optional(),
      lot: text(120).optional(),
      place: text(200).optional(),
    }),
    baseline: z
      .strictObject({ value: signedDecimalText, unit: pressureUnit, readBy: text(200).optional() })
      .optional()
      .meta({ description: 'What the gauge showed with the fan running; it is marked as adopted' }),
  })
  .meta({ id: 'Activation' })
export type Activation = z.output<typeof activation>

const baselineOut = z
  .object({
    readingId: id,
    role: gaugeRole.extract(['start-up', 'adopted']),
    value: z.string(),
    unit: pressureUnit,
    at: instantOut,
    readBy: z.string(),
    adoptedAt: instantOut.nullable().meta({ description: 'null: read at the start-up' }),
    adoptedBy: z.string().nullable(),
    note: z.string(),
  })
  .meta({ id: 'Baseline' })

const whenOut = z.object({ at: instantOut.nullable(), approx: z.string().nullable() })

export const systemOut = z
  .object({
    id,
    propertyId: id,
    tag: z.string().nullable(),
    type: systemType,
    active: z.boolean(),
    installedBy,
    installerName: z.string(),
    note: z.string(),
    components: z.array(
      z.object({
        id,
        kind: componentKind,
        model: z.string(),
        serial: z.string(),
        lot: z.string(),
        place: z.string(),
        installed: whenOut,
        removed: whenOut.nullable(),
        removalReason: z.string(),
        note: z.string(),
        version: z.number().int(),
      }),
    ),
    suctionPoints: z.array(
      z.object({
        id,
        name: z.string(),
        foundationAreaId: id.nullable(),
        since: instantOut.nullable(),
        until: instantOut.nullable(),
        note: z.string(),
      }),
    ),
    events: z.array(z.object({ id, kind: systemEventKind, when: whenOut, note: z.string() })),
    gaugeReadings: z.array(
      z.object({
        id,
        role: gaugeRole,
        value: z.string(),
        unit: pressureUnit,
        at: instantOut,
        readBy: z.string(),
        note: z.string(),
      }),
    ),
    baseline: baselineOut.nullable().meta({ description: 'What later readings are held against; null when not known' }),
    version: z.number().int(),
    createdAt: instantOut,
    updatedAt: instantOut,
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'System' })

export const systemWithStanding = z
  .object({ system: systemOut, standing: standingOut })
  .meta({ id: 'SystemWithStanding' })

export const systemList = z
  .object({ items: z.array(systemOut), next: z.string().nullable() })
  .meta({ id: 'SystemList' })
export const partKind = z.enum(['component', 'suction-point', 'event', 'gauge-reading'])
