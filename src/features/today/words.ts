import { paths } from '../../web/paths.ts'
import type { OwedLine } from './queries.ts'

type Duty = { readonly what: string; readonly act: string; readonly href: (line: OwedLine) => string }

const home = (line: OwedLine) => paths.home(line.propertyId)
const visit = (line: OwedLine) => paths.newVisit(line.propertyId)

/** What each kind of obligation is called, and the one thing to do about it. */
export const duties: Readonly<Record<string, Duty>> = {
  'initial-test': { what: 'First test', act: 'Plan the test', href: visit },
  'follow-up-test': { what: 'Follow-up test', act: 'Plan the test', href: visit },
  mitigation: { what: 'Mitigation', act: 'Plan a bid', href: visit },
  'post-mitigation-test': { what: 'Post-mitigation test', act: 'Plan the test', href: visit },
  'further-mitigation': { what: 'Still above after mitigation', act: 'Plan a return trip', href: visit },
  retest: { what: 'Retest', act: 'Plan the retest', href: visit },
  'pick-up': {
    what: 'Device to pick up',
    act: 'Pick up',
    href: line => (line.testId ? paths.testStep(line.testId, 'pick-up') : home(line)),
  },
  'laboratory-result': {
    what: 'At the laboratory',
    act: 'Enter the result',
    href: line => (line.testId ? paths.testStep(line.testId, 'results') : home(line)),
  },
}

export const dutyOf = (line: OwedLine): Duty =>
  duties[line.kind] ?? { what: line.kind, act: 'Open the home', href: home }

/** How far the homeowner has heard of it. */
export const remindedWords: Readonly<Record<string, string>> = {
  claimed: 'reminder being written',
  queued: 'reminder on its way',
  sent: 'reminded',
  held: 'reminder held: no mail server',
  unreachable: 'cannot be reached by mail',
  refused: 'mail refused',
  dropped: 'reminder no longer needed',
}

export const complaintWords: Readonly<Record<string, string>> = {
  alarm: 'the alarm sounds',
  'gauge-at-zero': 'the gauge stands at zero',
  'gauge-changed': 'the gauge has changed',
  noise: 'noise',
  water: 'water',
  ice: 'ice',
  odour: 'an odour',
  'high-result': 'a high result',
  damage: 'damage',
  power: 'no power',
  other: 'something else',
}

/** What a result says, before anybody has looked at it. */
export const outcomeWords: Readonly<Record<string, string>> = {
  below: 'below the level',
  'at-or-above': 'at or above the level',
  'needs-follow-up': 'wants a second test',
  invalid: 'not valid',
  undetermined: 'decides nothing yet',
}

export const reportWords: Readonly<Record<string, string>> = {
  'visit-request': 'asks for a visit',
  'own-result': 'reports a result of their own',
  'gauge-reading': 'reports what the gauge shows',
  alarm: 'reports an alarm or something wrong',
  moved: 'says that they moved',
}
