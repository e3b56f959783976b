import { localDayOf } from '../../domain/calendar/local-day.ts'
import { byUrgency, type Chase } from '../../domain/devices/chase.ts'
import { chaseOfKit, neverReturned } from '../../domain/devices/chase-kit.ts'
import { chasesOfMonitor } from '../../domain/devices/chase-monitor.ts'
import { type KitLimits, kitStateOf } from '../../domain/devices/kit-facts.ts'
import type { MonitorFacts } from '../../domain/devices/monitor-facts.ts'
import { whereaboutsOf } from '../../domain/devices/whereabouts-of.ts'
import type { LocalDay } from '../../domain/facts.ts'
import type { Database } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { monitorFacts } from '../../standing/monitor-facts.ts'
import { type Asked, askedAt, type KitLine, kitsUnsettled } from './chase-queries.ts'
import { kitLimits } from './kit-limit-queries.ts'

/** Something to chase, with what it is and whom to ask. */
export type ChaseLine = Chase & {
  readonly name: string
  readonly deviceId: string
  readonly kitId: string | null
  readonly testId: string | null
  readonly home: { readonly id: string; readonly address: string } | null
  readonly asked: Asked | null
}

export type ChaseList = {
  /** The company's own day. */
  readonly today: LocalDay
  readonly lines: readonly ChaseLine[]
  readonly counts: {
    readonly monitorsOut: number
    readonly kitsOut: number
    readonly atLaboratory: number
    readonly overdue: number
    readonly neverReturned: number
  }
}

type LimitsOf = ReadonlyMap<string, KitLimits>

/** Everything lent out that has to be run after, the most urgent first. */
export async function chaseList(db: Database, who: Act): Promise<ChaseList> {
  const [monitors, kits, limits] = await Promise.all([monitorFacts(db, who), kitsUnsettled(db, who), kitLimits(db)])
  const limitsOf: LimitsOf = new Map<string, KitLimits>(limits.map(limit => [limit.method, limit]))
  const ofMonitors = monitors.flatMap(monitor => linesOfMonitor(monitor, who.now))
  const homes = await askedAt(db, [...new Set(ofMonitors.flatMap(({ home }) => home?.id ?? []))])
  const today = localDayOf(who.now, monitors[0]?.zone ?? kits[0]?.zone ?? 'UTC')
  const lines = [
    ...ofMonitors.map(line => ({ ...line, asked: homes.find(({ id }) => id === line.home?.id) ?? null })),
    ...kits.flatMap(kit => lineOfKit(kit, limitsOf, who.now)),
  ].sort((a, b) => byUrgency(a, b) || (placeInList(a) < placeInList(b) ? -1 : 1))
  return { today, lines, counts: countsOf(monitors, kits, { limitsOf, lines, today, now: who.now }) }
}

/** What is due first stands first; no two lines have one place. */
export const placeInList = ({ dueOn, name, kind, deviceId, kitId, testId }: ChaseLine): string =>
  [dueOn, name, kind, deviceId, kitId ?? testId ?? ''].join(' ')

/** How much there is to chase. */
export const countToChase = async (db: Database, who: Act): Promise<number> => (await chaseList(db, who)).lines.length

function linesOfMonitor(monitor: MonitorFacts, now: number): Omit<ChaseLine, 'asked'>[] {
  const { place } = whereaboutsOf(monitor, now)
  const stay = place.kind === 'home' ? place.stay : null
  return chasesOfMonitor(monitor, now).map(chase => {
    const home = stay?.home == null ? null : { id: stay.propertyId, address: stay.home }
    const testId = home && stay ? stay.testId : null
    return { ...chase, name: monitor.name, deviceId: monitor.deviceId, kitId: null, testId, home }
  })
}

function lineOfKit(kit: KitLine, limitsOf: LimitsOf, now: number): ChaseLine[] {
  const limits = limitsOf.get(kit.method)
  const chase = limits ? chaseOfKit(kit, limits, localDayOf(now, kit.zone)) : null
  if (!chase) return []
  const { id: kitId, deviceId, testId, person, phone } = kit
  const home = { id: kit.propertyId, address: kit.address }
  return [{ ...chase, name: `Kit ${kit.number}`, deviceId, kitId, testId, home, asked: { person, phone } }]
}

function countsOf(
  monitors: readonly MonitorFacts[],
  kits: readonly KitLine[],
  { limitsOf, lines, today, now }: Omit<ChaseList, 'counts'> & { limitsOf: LimitsOf; now: number },
): ChaseList['counts'] {
  const places = monitors.map(monitor => whereaboutsOf(monitor, now).place.kind)
  const states = kits.map(kitStateOf)
  const out = states.filter(state => state === 'left' || state === 'in-place' || state === 'to-post')
  const gone = kits.filter(kit => {
    const limits = limitsOf.get(kit.method)
    return limits !== undefined && neverReturned(kit, limits, localDayOf(now, kit.zone))
  })
  return {
    monitorsOut: places.filter(kind => kind === 'home' || kind === 'away').length,
    kitsOut: out.length,
    atLaboratory: states.filter(state => state === 'posted').length,
    overdue: lines.filter(line => line.dueOn < today).length,
    neverReturned: gone.length + places.filter(kind => kind === 'lost').length,
  }
}
