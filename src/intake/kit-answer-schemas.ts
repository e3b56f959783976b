import { z } from 'zod'
import { reportedResult } from '../features/tests/reported-result.ts'
import { filledText, id, instantIn, localDay, text } from '../platform/http/scalars.ts'

export const kitAnswer = z
  .strictObject({
    number: filledText(60),
    deviceId: id.nullish().meta({ description: 'The lot, where a number fits kits of several' }),
    result: reportedResult,
    resultInAt: instantIn.optional(),
    laboratory: text(200).optional(),
    exposedFrom: localDay
      .nullish()
      .meta({ description: 'As the laboratory says; the kit’s own day where it does not' }),
    exposedTo: localDay.nullish(),
  })
  .refine(({ exposedFrom, exposedTo }) => !exposedFrom || !exposedTo || exposedTo >= exposedFrom, {
    path: ['exposedTo'],
    error: 'lies before exposedFrom: correct one of the two',
  })
  .meta({ id: 'KitAnswer' })
export type KitAnswer = z.output<typeof kitAnswer>

export const kitAnswered = z.object({ kitId: id.nullable(), propertyId: id, testId: id }).meta({ id: 'KitAnswered' })
