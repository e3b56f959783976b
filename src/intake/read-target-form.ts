import type { TestChoices } from '../features/tests/page-queries.ts'
import type { FieldFault } from '../web/error-summary.tsx'
import type { DateReading } from '../web/read-typed-date.ts'
import { momentIn, needed, type TypedFields, textIn } from '../web/typed-fields.ts'
import type { WaitingRecord } from './home-queries.ts'
import { commitRecordBody } from './record-schemas.ts'
import type { CommitBody } from './schemas.ts'

export type TargetRead =
  | { readonly ok: true; readonly body: CommitBody }
  | { readonly ok: false; readonly faults: readonly FieldFault[] }

/** The form of a record's place as the verb takes it. */
export function readTargetForm(
  typed: TypedFields,
  home: TestChoices,
  waiting: readonly WaitingRecord[],
  reading: DateReading,
): TargetRead {
  const faults: FieldFault[] = []
  const wanted = textIn(typed, 'target')
  const exposure = waiting.find(({ exposureId }) => exposureId === wanted)
  const target = exposure
    ? { testId: exposure.testId, exposureId: exposure.exposureId, version: exposure.version }
    : newTestIn(typed, home, reading, faults)
  const read = commitRecordBody.safeParse({
    target,
    again: textIn(typed, 'again') === 'yes',
    ...(textIn(typed, 'save-as') ? { saveReadingAs: textIn(typed, 'save-as') } : {}),
  })
  if (faults.length > 0) return { ok: false, faults }
  if (read.success) return { ok: true, body: read.data }
  return {
    ok: false,
    faults: read.error.issues.map(issue => ({ name: String(issue.path.at(-1) ?? ''), message: issue.message })),
  }
}

const isoText = (ms: number | null): string | null => (ms === null ? null : new Date(ms).toISOString())

function newTestIn(typed: TypedFields, home: TestChoices, reading: DateReading, faults: FieldFault[]) {
  const purpose = textIn(typed, 'purpose') || needed(faults, 'purpose', 'Say what the test was for: choose one')
  return {
    propertyId: home.id,
    purpose,
    setAt: isoText(momentIn(typed, 'set', reading, faults)),
    pickedUpAt: isoText(momentIn(typed, 'picked-up', reading, faults)),
    closedSince: isoText(momentIn(typed, 'closed', reading, faults)),
    closedDuring: textIn(typed, 'closed-during') || 'unknown',
    systemRunning: textIn(typed, 'system-running') || 'unknown',
    severeWeather: textIn(typed, 'severe-weather') || 'unknown',
    tampering: textIn(typed, 'tampering') || 'unknown',
    exposure: { locationId: textIn(typed, 'location') || null, deviceId: textIn(typed, 'device') || null },
  }
}
