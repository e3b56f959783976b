import type { EvaluatedTest } from '../../domain/answers.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { AreaKind, SectionFacts, SectionSystem } from '../../web/section/section-facts.ts'
import type { HomeSystem, SystemComponent } from './home-history.ts'

type Parts = {
  readonly zone: string
  readonly storeys: number | null
  readonly foundationAreas: readonly { id: string; kind: string; name: string; areaM2: number | null }[]
  readonly testLocations: readonly { id: string; name: string; floor: number; foundationAreaId: string | null }[]
}

/** A home as its section is drawn: parts in use today, the latest valid result of each room. Tests newest first. */
export const sectionOfHome = (
  home: Parts,
  systems: readonly HomeSystem[],
  tests: readonly EvaluatedTest[],
): SectionFacts => ({
  storeys: home.storeys,
  areas: home.foundationAreas.map(({ id, kind, name, areaM2 }) => ({ id, kind: kind as AreaKind, name, areaM2 })),
  rooms: home.testLocations.map(({ id, name, floor, foundationAreaId }) => ({
    id,
    name,
    floor,
    areaId: foundationAreaId,
    latest: latestIn(id, tests, home.zone),
  })),
  systems: systems.filter(system => system.voidedAt === null).map(system => sectionSystem(system, home.zone)),
})

function latestIn(locationId: string, tests: readonly EvaluatedTest[], zone: string) {
  for (const test of tests) {
    if (test.validity === 'invalid') continue
    const here = test.exposures.find(
      exposure => exposure.locationId === locationId && exposure.role === 'measurement' && exposure.result !== null,
    )
    if (!here?.result) continue
    const { value, unit, qualifier } = here.result
    const on = test.stopAt === null ? null : localDayOf(test.stopAt, zone)
    return { value, unit, qualifier, on, outcome: test.outcome }
  }
  return null
}

const isIn = (part: SystemComponent) => part.voidedAt === null && part.removed.at === null && part.removed.edtf === null

function sectionSystem(system: HomeSystem, zone: string): SectionSystem {
  const parts = system.components.filter(isIn)
  const [pipe, fan, gauge, outlet] = (['pipe', 'fan', 'gauge', 'outlet'] as const).map(kind =>
    parts.find(part => part.kind === kind),
  )
  const reading = system.gaugeReadings.findLast(one => one.voidedAt === null)
  return {
    id: system.id,
    name: system.tag,
    active: system.active,
    points: system.suctionPoints.map(({ id, name, foundationAreaId }) => ({ id, name, areaId: foundationAreaId })),
    pipe: pipe ? { id: pipe.id, route: routeOf(pipe.place) } : null,
    fan: fan ? { id: fan.id, model: fan.model } : null,
    gauge: gauge
      ? {
          id: gauge.id,
          reading: reading ? { value: reading.value, unit: reading.unit, on: localDayOf(reading.at, zone) } : null,
        }
      : null,
    discharge: outlet ? { id: outlet.id, place: outlet.place } : null,
  }
}

// The pipe's way is written in words; only what they say plainly is drawn.
const routeOf = (place: string): 'inside' | 'outside' | null => {
  if (/\b(outside|exterior|outdoors)\b/i.test(place)) return 'outside'
  return /\b(inside|interior|closet|garage|attic)\b/i.test(place) ? 'inside' : null
}
