import type { EvaluatedTest, Standing } from '../answers.ts'
import { momentOf, whenDays } from '../calendar/edtf.ts'
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
  const off = offEventOf(system, zone)
  const started = start ? change('started', start) : null
  const altered = system.events.flatMap(event =>
    event.kind === 'altered' || event.kind === 'repaired' || event.kind === 'sealed'
      ? change(kindOf[event.kind], event)
      : [],
  )
  const parts = system.components
    .filter(part => changesAir.has(part.kind))
    .map(part => change('altered', asEvent(part)))
    .filter(part => started?.latest && isLaterThan(part.when, started.latest, zone))
  const afterStart = [...altered, ...parts].filter(c => !started || order(started, c) < 0)
  return [...(started ? [started] : []), ...afterStart, ...(off ? [change('off', off)] : [])]
}

// A part whose day is known only roughly, and may be the day of the start, was put in with the system.
const isLaterThan = (when: When, day: LocalDay, zone: string): boolean => {
  const days = whenDays(when, zone)
  return days !== null && days.earliest > day
}

const asEvent = (part: ComponentFacts) => ({ id: part.id, when: part.installed })

/** First start of an active system; completion of a passive one, or of one whose start nobody noted. */
const startOf = (system: SystemFacts) =>
  (system.active ? system.events.find(event => event.kind === 'first-start') : undefined) ??
  system.events.find(event => event.kind === 'completed') ??
  system.events.find(event => event.kind === 'first-start' || event.kind === 'on')

const unknownMoment = { earliest: Number.NEGATIVE_INFINITY, latest: Number.POSITIVE_INFINITY }
const momentsOf = (system: SystemFacts, kinds: readonly string[], zone: string) =>
  system.events
    .filter(({ kind }) => kinds.includes(kind))
    .map(event => ({ event, ...(momentOf(event.when, zone) ?? unknownMoment) }))

/** The last time a system was switched off, unless it certainly came on again; `certain` when nothing can be later. */
function lastOff(system: SystemFacts, zone: string) {
  const offs = momentsOf(system, ['off'], zone).sort((a, b) => a.latest - b.latest)
  const last = offs.at(-1)
  const starts = momentsOf(system, ['on', 'first-start'], zone)
  // Of two at the same instant the one written down later, with the higher id, is the later.
  const isLater = (start: (typeof starts)[number], off: (typeof offs)[number]) =>
    start.earliest > off.latest || (start.earliest === off.latest && start.event.id > off.event.id)
  if (!last || starts.some(start => offs.every(off => isLater(start, off)))) return null
  // What is switched off has been started before: only another switching on can be the later one.
  const certain = starts.every(({ event, latest }) => event.kind === 'first-start' || latest <= last.earliest)
  return { event: last.event, certain }
}

const offEventOf = (system: SystemFacts, zone: string) => lastOff(system, zone)?.event ?? null

/** What the systems of a home do, the most worrying first; unknown where rough dates leave it open. */
export function systemStateOf({ systems, zone }: Pick<HomeFacts, 'systems' | 'zone'>): Standing['system'] {
  if (systems.length === 0) return 'none'
  const offs = systems.flatMap(system => lastOff(system, zone) ?? [])
  if (offs.some(({ certain }) => certain)) return 'off'
  if (systems.some(system => !startOf(system) && !ofUnknownPast(system))) return 'not-started'
  return offs.length > 0 || systems.some(ofUnknownPast) ? 'unknown' : 'running'
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

/** Whether the days on record leave open which came first, a test's end or a change. */
export function mayBeAfter(test: EvaluatedTest, change: SystemChange, zone: string): boolean {
  const end = test.stopAt ?? test.startAt
  const days = whenDays(change.when, zone)
  return change.when.at === null && (days === null || end === null || localDayOf(end, zone) >= days.earliest)
}
