import { recordCallback } from '../features/callbacks/record-callback.ts'
import { createCustomer } from '../features/customers/create-customer.ts'
import { changeOwner } from '../features/properties/change-owner.ts'
import { addParts } from '../features/systems/change-system.ts'
import { recordTest } from '../features/tests/record-test.ts'
import { planVisit } from '../features/visits/plan-visit.ts'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import type { FieldFault } from '../web/error-summary.tsx'
import { halfDayWords } from '../web/half-day-words.ts'
import { isMethod } from '../web/method-words.ts'
import { dateReadingFor, momentIn, type TypedFields, textIn } from '../web/typed-fields.ts'
import { isVisitPurpose } from '../web/visit-purpose-words.ts'

/** A report of a homeowner as it was kept. */
export type KeptReport = {
  readonly propertyId: string
  readonly customerId: string | null
  readonly customerName: string
  readonly zone: string
  readonly country: string
  readonly kind: string
  readonly body: Readonly<Record<string, unknown>>
  readonly receivedAt: number
}
type Made = { readonly noun: 'visit' | 'test' | 'system' | 'callback' | 'ownership'; readonly id: string }
type Accept = (tx: Tx, act: Act, report: KeptReport, typed: TypedFields) => Promise<Made>

const text = (value: unknown): string => (typeof value === 'string' ? value : '')
const textOrNull = (value: unknown): string | null => text(value) || null

const accepts: Record<string, Accept> = {
  async 'visit-request'(tx, act, report, typed) {
    const faults: FieldFault[] = []
    const startsAt = momentIn(typed, 'on', dateReadingFor(report, act.now), faults)
    const purpose = textIn(typed, 'purpose') || text(report.body.purpose) || 'other'
    if (!isVisitPurpose(purpose)) faults.push({ name: 'purpose', message: 'Choose what the visit is for' })
    if (startsAt === null || !isVisitPurpose(purpose)) throw unreadable(faults)
    const { halfDays } = report.body
    const wished = Array.isArray(halfDays) ? halfDays.map(part => halfDayWords(text(part))) : []
    const suits = wished.length > 0 ? `Suits them: ${wished.join(', ')}.` : ''
    const instructions = [text(report.body.note), suits].filter(Boolean).join('\n')
    return {
      noun: 'visit',
      id: await planVisit(tx, act, report.propertyId, { purpose, startsAt, instructions }),
    }
  },
  async 'own-result'(tx, act, report, typed) {
    const { value, unit, device } = report.body
    const { method, setAt, pickedUpAt } = readOwnTest(report, typed, act.now)
    const { testId } = await recordTest(tx, act, report.propertyId, {
      purpose: 'retest',
      method,
      source: 'homeowner',
      sourceName: [report.customerName, text(device)].filter(Boolean).join(', '),
      setAt,
      pickedUpAt,
      resultInAt: report.receivedAt,
      exposures: [
        {
          locationId: textOrNull(report.body.locationId),
          role: 'measurement',
          result: { value: text(value), unit: text(unit) as 'pCi/L' | 'Bq/m3', qualifier: '=' },
        },
      ],
    })
    return { noun: 'test', id: testId }
  },
  async 'gauge-reading'(tx, act, { body, customerName, receivedAt }) {
    const systemId = text(body.systemId)
    const unit = text(body.unit) as 'in. w.c.' | 'Pa'
    const reading = { role: 'reported' as const, value: text(body.value), unit, at: receivedAt }
    await addParts(tx, act, systemId, { gaugeReadings: [{ ...reading, readBy: customerName, note: text(body.note) }] })
    return { noun: 'system', id: systemId }
  },
  async alarm(tx, act, report) {
    const { what, note, since, systemId } = report.body
    const { callbackId } = await recordCallback(tx, act, report.propertyId, {
      complaint: text(what) as 'alarm',
      systemId: textOrNull(systemId),
      reportedAt: report.receivedAt,
      reportedBy: report.customerName,
      reportedByCustomer: report.customerId,
      channel: 'homeowner-page',
      description: [text(note), text(since) && `Since: ${text(since)}`].filter(Boolean).join('\n'),
    })
    return { noun: 'callback', id: callbackId }
  },
  async moved(tx, act, report, typed) {
    const name = textIn(typed, 'newOwner')
    if (name === '') throw unreadable([{ name: 'newOwner', message: 'Write the new owner’s name, or Unknown' }])
    const email = textIn(typed, 'newEmail')
    const owner = await createCustomer(tx, act, newPerson(name, email))
    const change = { customerId: owner.id, onDay: textOrNull(report.body.on), because: 'sale' as const }
    return { noun: 'ownership', id: (await changeOwner(tx, act, report.propertyId, change)).ownershipId }
  },
}

/** How and when a homeowner measured, as the office wrote it down from what they said. */
function readOwnTest(report: KeptReport, typed: TypedFields, now: number) {
  const faults: FieldFault[] = []
  const reading = dateReadingFor(report, now)
  const method = textIn(typed, 'method')
  if (!isMethod(method)) faults.push({ name: 'method', message: 'Choose how it was measured, or that it is not known' })
  const setAt = momentIn(typed, 'set', reading, faults)
  const pickedUpAt = momentIn(typed, 'picked-up', reading, faults)
  if (setAt !== null && pickedUpAt !== null && pickedUpAt <= setAt)
    faults.push({ name: 'picked-up', message: 'The end is not after the start: correct one of the two' })
  if ((pickedUpAt ?? setAt ?? 0) > report.receivedAt)
    faults.push({
      name: pickedUpAt === null ? 'set' : 'picked-up',
      message: 'This lies after the day they sent the result: correct it',
    })
  if (!isMethod(method) || faults.length > 0) throw unreadable(faults)
  return { method, setAt, pickedUpAt }
}

const newPerson = (name: string, email: string): Parameters<typeof createCustomer>[2] => ({
  kind: 'person',
  name,
  ...(email === '' ? {} : { email }),
})

const unreadable = (faults: readonly FieldFault[]) =>
  problem(
    422,
    'unreadable',
    faults[0]?.message ?? 'Something is missing.',
    faults.map(({ name, message }) => ({ pointer: `/${name}`, code: 'needed', detail: message })),
  )

/** Records the fact that a homeowner's report tells of, with what the office added, through the verbs of its noun. */
export const acceptWith: Accept = (tx, act, report, typed) => accepts[report.kind]!(tx, act, report, typed)
