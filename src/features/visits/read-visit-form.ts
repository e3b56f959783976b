import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { clockWords } from '../../web/instant-words.ts'
import type { DateReading } from '../../web/read-typed-date.ts'
import { momentIn, needed, type TypedFields, textIn, textsIn } from '../../web/typed-fields.ts'
import type { VisitRow } from './queries.ts'
import { type NewVisit, visitPurpose } from './schemas.ts'

/** A visit as its form says it; null, with the faults, where something is missing or unreadable. */
export function readVisitForm(typed: TypedFields, reading: DateReading, faults: FieldFault[]): NewVisit | null {
  const purpose = visitPurpose.safeParse(textIn(typed, 'purpose')).data ?? needed(faults, 'purpose', 'Choose why')
  const startsAt = momentIn(typed, 'starts', reading, faults) ?? needed(faults, 'starts', 'Say when')
  if (!purpose || startsAt === null) return null
  return {
    purpose,
    startsAt,
    callbackId: textIn(typed, 'callback') || null,
    crew: textsIn(typed, 'crew'),
    instructions: textIn(typed, 'instructions'),
  }
}

/** A planned visit as its form shows it, on the home's clock. */
export const typedVisit = (visit: VisitRow): TypedFields => ({
  purpose: visit.purpose,
  callback: visit.callbackId ?? '',
  starts: localDayOf(visit.startsAt, visit.zone),
  'starts-time': clockWords(visit.startsAt, visit.zone),
  crew: visit.crew.map(({ id }) => id),
  instructions: visit.instructions,
})
