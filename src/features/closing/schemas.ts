import { z } from 'zod'
import { closingAsks, closingMethods } from '../../domain/closing/closing-question.ts'
import { id, instantIn, instantOut, localDay } from '../../platform/http/scalars.ts'
import { ruleRef, working } from '../../standing/answer-schemas.ts'

export const closingAsk = z.enum(closingAsks)
export const closingMethod = z.enum(closingMethods)

export const closingQuery = z.strictObject({
  asks: closingAsk.meta({ description: 'For a post-mitigation test the deadline is for its pick-up' }),
  method: closingMethod.default('continuous-monitor'),
  deadline: instantIn.optional().meta({
    description: 'By when; for a post-mitigation test left out it is the last day of the rule after the fan start',
  }),
})

const window = z.object({ earliest: instantOut, latest: instantOut }).meta({ id: 'ClosingWindow' })
const visit = z.object({
  purpose: z.enum(['installation', 'set-device', 'pick-up-device']),
  startsAt: instantOut,
  endsAt: instantOut,
  crew: id.nullable().meta({ description: 'Somebody who is free for it; null where nobody is on record' }),
})

export const closingOut = z
  .object({
    propertyId: id,
    zone: z.string(),
    verdict: z.enum(['feasible', 'infeasible', 'undetermined']),
    reason: z.string().nullable().meta({ description: 'Why it is undetermined' }),
    deadline: instantOut.nullable(),
    windows: z
      .object({
        install: window.nullable(),
        fanStart: window.nullable(),
        closed: window.meta({ description: 'From when the building is kept closed' }),
        set: window,
        pickUp: window,
        report: window.nullable(),
      })
      .nullable()
      .meta({
        description: 'Each end of a window is a moment of some plan that keeps to everything; null unless feasible',
      }),
    plan: z
      .object({
        visits: z.array(visit),
        fanStartAt: instantOut.nullable(),
        closedFrom: instantOut,
        setAt: instantOut,
        pickUpAt: instantOut,
        reportAt: instantOut.nullable(),
      })
      .nullable()
      .meta({ description: 'The earliest plan; of an infeasible question the earliest that ends too late' }),
    slackMinutes: z.number().int().nullable(),
    devices: z
      .array(z.object({ id, name: z.string(), goodUntil: localDay.nullable() }))
      .nullable()
      .meta({
        description:
          'Free, and good until the pick-up of the plan; null when none limits the answer, or without `devices:read`',
      }),
    binds: z.array(z.object({ text: z.string(), rule: ruleRef.nullable() })),
    workings: z.array(working),
    notes: z.array(z.string()),
    sentence: z.string().meta({ description: 'To read out or send, with the caution' }),
  })
  .meta({ id: 'Closing' })

/** The question as the page asks it: day and time as people type them. */
export const closingForm = z.object({
  asks: closingAsk.optional(),
  method: closingMethod.optional(),
  by: z.string().max(60).optional(),
  'by-time': z.string().max(20).optional(),
})

export const plannedForm = z.strictObject({
  asks: closingAsk,
  method: closingMethod,
  deadline: z.coerce.number().int().nullable().default(null),
  seen: z.string().max(1000),
})
