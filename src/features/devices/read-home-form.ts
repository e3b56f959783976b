import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { clockWords } from '../../web/instant-words.ts'
import type { DateReading } from '../../web/read-typed-date.ts'
import { momentIn, needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { BookingRow } from './booking-queries.ts'
import { type BookingChange, bookingChange, type NewBooking, newBooking } from './booking-schemas.ts'
import { type KitCorrection, kitCorrection, type NewKit, newKit } from './kit-schemas.ts'
import { checked, dayIn, type FormOutcome } from './read-device-form.ts'

/** The form that books a monitor for a home. */
export function readBookingForm(typed: TypedFields, reading: DateReading): FormOutcome<NewBooking> {
  const faults: FieldFault[] = []
  const read = bookedTime(typed, reading, faults)
  if (!read) return { ok: false, faults }
  const { deviceId, from, until } = read
  const said = { deviceId, from: iso(from), until: iso(until), note: textIn(typed, 'booking-note') }
  return checked(newBooking, said, faults)
}

/** A booking as the form that moves it shows it, on the home's clock. */
export const typedBooking = ({ deviceId, from, until }: BookingRow, zone: string): TypedFields => ({
  deviceId,
  from: localDayOf(from, zone),
  'from-time': clockWords(from, zone),
  until: localDayOf(until, zone),
  'until-time': clockWords(until, zone),
})

/** The form that moves a booking to another time or monitor: what stands as it was `shown` stays, to the second. */
export function readMoveForm(typed: TypedFields, shown: TypedFields, reading: DateReading): FormOutcome<BookingChange> {
  const faults: FieldFault[] = []
  const read = bookedTime(typed, reading, faults)
  if (!read) return { ok: false, faults }
  const { deviceId, from, until } = read
  const changed = (...names: string[]) => names.some(name => textIn(typed, name) !== textIn(shown, name))
  const said = {
    deviceId: changed('deviceId') ? deviceId : undefined,
    from: changed('from', 'from-time') ? iso(from) : undefined,
    until: changed('until', 'until-time') ? iso(until) : undefined,
    reason: textIn(typed, 'reason') || undefined,
  }
  return checked(bookingChange, said, faults)
}

// Which monitor from when until when; null where one of them is not said, which is told.
function bookedTime(typed: TypedFields, reading: DateReading, faults: FieldFault[]) {
  const [from, until] = [momentIn(typed, 'from', reading, faults), momentIn(typed, 'until', reading, faults)]
  if (from === null) needed(faults, 'from', 'Say from when it is needed')
  if (until === null) needed(faults, 'until', 'Say until when it is needed')
  const deviceId = textIn(typed, 'deviceId')
  if (!deviceId) needed(faults, 'deviceId', 'Choose a monitor')
  if (from === null || until === null || faults.length > 0) return null
  return { deviceId, from, until }
}

const iso = (ms: number) => new Date(ms).toISOString()

/** The form that leaves a kit at a home. */
export function readKitForm(typed: TypedFields, reading: DateReading): FormOutcome<NewKit> {
  const faults: FieldFault[] = []
  if (!textIn(typed, 'lot')) needed(faults, 'lot', 'Choose the lot it comes from')
  if (!textIn(typed, 'number')) needed(faults, 'number', 'Write the number on the kit')
  if (!textIn(typed, 'purpose')) needed(faults, 'purpose', 'Choose what it is for')
  if (!textIn(typed, 'leftOn')) needed(faults, 'leftOn', 'Say on which day it was left')
  const said = {
    deviceId: textIn(typed, 'lot'),
    number: textIn(typed, 'number'),
    purpose: textIn(typed, 'purpose'),
    leftOn: dayIn(typed, 'leftOn', reading, faults),
    locationId: textIn(typed, 'room') || null,
    customerId: textIn(typed, 'person') || null,
    leftWith: textIn(typed, 'leftWith'),
  }
  return faults.length > 0 ? { ok: false, faults } : checked(newKit, said, faults)
}

/** What is said of a kit: a day that is left empty stays as it is. */
export function readKitDays(typed: TypedFields, reading: DateReading): FormOutcome<KitCorrection> {
  const faults: FieldFault[] = []
  const day = (name: string) => dayIn(typed, name, reading, faults)
  const said = {
    exposedFrom: day('exposedFrom'),
    exposedTo: day('exposedTo'),
    postedOn: day('postedOn'),
    returnedOn: day('returnedOn'),
    lostOn: day('lostOn'),
    reason: textIn(typed, 'reason') || undefined,
  }
  return checked(kitCorrection, said, faults)
}
