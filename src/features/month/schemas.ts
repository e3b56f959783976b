import { z } from 'zod'
import { isMonth } from '../../domain/calendar/month.ts'
import { filledText, id, instantOut, localDay, text } from '../../platform/http/scalars.ts'

export const month = z
  .string()
  .refine(isMonth, 'is no month: write it like 2026-11')
  .meta({ description: 'A month, `2026-11`' })

/** `retest`: one is owed; `fan`: one in place has reached the company's age, or may have. */
export const monthKind = z.enum(['retest', 'fan'])
export type MonthKind = z.output<typeof monthKind>

/** How far a home has come; `fan-unknown`: nothing is due, but nobody knows how old its fan is. */
export const monthState = z.enum(['open', 'called', 'booked', 'put-off', 'fan-unknown'])
export type MonthState = z.output<typeof monthState>

export const callOutcome = z.enum(['no-answer', 'left-message', 'will-call-back'])
export type CallOutcome = z.output<typeof callOutcome>

export const newOutreach = z
  .discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('called'),
      outcome: callOutcome,
      callAgainOn: localDay,
      note: text(2000).optional(),
    }),
    z.strictObject({
      kind: z.literal('put-off'),
      untilMonth: month,
      reason: filledText(500),
    }),
  ])
  .meta({ id: 'NewOutreach' })
export type NewOutreach = z.output<typeof newOutreach>

export const outreachOut = z
  .object({
    id,
    propertyId: id,
    kind: z.enum(['called', 'put-off']),
    outcome: callOutcome.nullable().meta({ description: 'Of a call; null where it was put off' }),
    backOn: localDay.meta({ description: 'When to call again, or the first day of the month it was put off to' }),
    note: z.string().meta({ description: 'What was noted of a call; why it was put off' }),
    by: z.string().meta({ description: 'Who called or put it off; empty for an app' }),
    at: instantOut,
    version: z.number().int(),
    voidedAt: instantOut.nullable(),
    voidReason: z.string().nullable(),
  })
  .meta({ id: 'Outreach' })
export const outreachList = z
  .object({ items: z.array(outreachOut), next: z.string().nullable() })
  .meta({ id: 'OutreachList' })
export const outreachListQuery = z.strictObject({
  propertyId: id.optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(500).optional(),
})
export const voiding = z.strictObject({ reason: filledText(500) })

const monthItem = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('retest'),
    causeId: id.meta({ description: 'The record that the retest follows from' }),
    dueOn: localDay,
  }),
  z.object({
    kind: z.literal('fan'),
    componentId: id,
    reach: z.enum(['reached', 'may-be', 'unknown']).meta({
      description: 'Whether it has reached the age: `may-be` where its date is rough, `unknown` where there is none',
    }),
    installed: z.object({ at: instantOut.nullable(), approx: z.string().nullable() }),
  }),
])
export const dueHomeOut = z
  .object({
    propertyId: id,
    street: z.string(),
    unit: z.string(),
    city: z.string(),
    region: z.string(),
    postcode: z.string(),
    state: monthState,
    items: z.array(monthItem),
    booked: z.object({ visitId: id, startsAt: instantOut }).nullable(),
    callAgainOn: localDay.nullable(),
    putOffTo: localDay.nullable(),
    remindersHeld: z.boolean(),
  })
  .meta({ id: 'DueHome' })
export const dueHomeList = z
  .object({ items: z.array(dueHomeOut), next: z.string().nullable() })
  .meta({ id: 'DueHomeList' })
export const dueHomesQuery = z.strictObject({
  month: month.optional(),
  kind: monthKind.optional(),
  state: monthState.optional(),
  region: z.string().max(120).optional(),
  where: z.string().max(120).optional().meta({ description: 'How a town or a postcode begins' }),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(800).optional(),
})
