import type { EvaluatedTest, Standing } from '../answers.ts'
import { whenDays } from '../calendar/edtf.ts'
import { localDayOf } from '../calendar/local-day.ts'
import type { ComponentFacts, HomeFacts, LocalDay, SystemFacts, When } from '../facts.ts'

/** A moment after which older results no longer describe the home. */
export type SystemChange = {
  readonly causeId: string
  readonly kind: 'started' | 'altered' | 'repaired' | 'off'
  readonly systemId: string
  readonly installedByUs: boolean
  readonly when: When
  /** The last day it can have been; null when unknown. */
  readonly latest: LocalDay | null
}

const changesAir = new Set(['fan', 'pipe', 'valve', 'membrane', 'sump-lid'])
const kindOf = { altered: 'altered', repaired: 'repaired', sealed: 'altered' } as const

/** Every change of every system, oldest first; those of unknown day come before all. */
export function systemChangesOf({ systems, zone }: Pick<HomeFacts, 'systems' | 'zone'>): readonly SystemChange[] {
  return systems
    .flatMap(system => changesOf(system, zone))
    .sort((a, b) => order(a, b) || (a.causeId < b.causeId ? -1 : 1))
}

const order = (a: SystemChange, b: SystemChange) =>
  compareDays(a.latest ?? '', b.latest ?? '') || (a.when.at ?? 0) - (b.when.at ?? 0)
const compareDays = (a: LocalDay, b: LocalDay) => (a < b ? -1 : a > b ? 1 : 0)

function changesOf(system: SystemFacts, zone: string): readonly SystemChange[] {
  const change = (kind: SystemChange['kind'], { id, when }: { id: string; when: When }): SystemChange => ({
    causeId: id,
    kind,
    systemId: system.id,
    installedByUs: system.installedBy === 'us',
    when,
    latest: whenDays(when, zone)?.latest ?? null,
  })
  const start = startOf(system)
  const off = offEventOf(system)
  const started = start ? change('started', start) : null
  const altered = system.events.flatMap(event =>
    event.kind === 'altered' || event.kind === 'repaired' || event.kind === 'sealed'
      ? change(kindOf[event.kind], event)
      : [],
  )
  const parts = system.components
    .filter(part => changesAir.has(part.kind))
    .map(part => change('altered', asEvent(part)))
    .filter(part => part.latest !== null && started?.latest && part.latest > started.latest)
  const afterStart = [...altered, ...parts].filter(c => !started || order(started, c) < 0)
  return [...(started ? [started] : []), ...afterStart, ...(off ? [change('off', off)] : [])]
}

const asEvent = (part: ComponentFacts) => ({ id: part.id, when: part.installed })

/** First start of an active system; completion of a passive one, or of one whose start nobody noted. */
const startOf = (system: SystemFacts) =>
  (system.active ? system.events.find(event => event.kind === 'first-start') : undefined) ??
  system.events.find(event => event.kind === 'completed') ??
  system.events.find(event => event.kind === 'first-start' || event.kind === 'on')

const at = ({ when }: { when: When }) => when.at ?? Number.NEGATIVE_INFINITY
const offEventOf = (system: SystemFacts) => {
  const last = system.events
    .filter(event => event.kind === 'off' || event.kind === 'on' || event.kind === 'first-start')
    .reduce<SystemFacts['events'][number] | null>(
      (latest, event) => (latest && at(latest) > at(event) ? latest : event),
      null,
    )
  return last?.kind === 'off' ? last : null
}

/** What the systems of a home do, the most worrying first. */
export function systemStateOf(systems: readonly SystemFacts[]): Standing['system'] {
  if (systems.length === 0) return 'none'
  if (systems.some(system => offEventOf(system))) return 'off'
  if (systems.some(system => !startOf(system) && !ofUnknownPast(system))) return 'not-started'
  return systems.some(ofUnknownPast) ? 'unknown' : 'running'
}

// An old system that came with the house: nobody wrote down that it was ever started.
const ofUnknownPast = (system: SystemFacts) =>
  !startOf(system) && system.installedBy !== 'us' && system.events.length === 0

/** Whether a system stands there that works or once worked: shorter retest intervals follow from it. */
export const isMitigated = (systems: readonly SystemFacts[]): boolean =>
  systems.some(system => startOf(system) !== undefined || ofUnknownPast(system))

/** Whether a test was made after a change. Where the days cannot tell, its purpose does. */
export function isAfter(test: EvaluatedTest, change: SystemChange, zone: string): boolean {
  const meantSo = test.purpose === 'post-mitigation' || test.purpose === 'retest'
  const start = test.startAt ?? test.stopAt
  if (start === null) return meantSo
  if (change.when.at !== null) return start >= change.when.at || (meantSo && (test.stopAt ?? start) > change.when.at)
  const days = whenDays(change.when, zone)
  if (!days) return meantSo || test.systemId !== null
  if (localDayOf(start, zone) > days.latest) return true
  return localDayOf(test.stopAt ?? start, zone) >= days.earliest && meantSo
}
