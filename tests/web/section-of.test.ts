import { describe, expect, it } from 'vitest'
import { SectionPicture, SectionTable } from '../../src/web/section/section-drawing.tsx'
import type { AreaKind, SectionFacts } from '../../src/web/section/section-facts.ts'
import { sectionOf } from '../../src/web/section/section-of.ts'
import { completeHome, homeOver, patchyHome } from './homes.ts'

const drawn = (facts: SectionFacts) => {
  const html = String(SectionPicture({ model: sectionOf(facts), home: 'Home', id: 's' }))
  return [...html.matchAll(/data-kind="([^"]+)" data-fact="([^"]*)" data-state="([^"]+)"/g)].map(
    ([, kind, fact, state]) => ({
      kind,
      fact,
      state,
    }),
  )
}
const factIds = (facts: SectionFacts): string[] =>
  [
    ...facts.areas,
    ...facts.rooms,
    ...facts.systems.flatMap(({ points, pipe, fan, gauge, discharge }) => [...points, pipe, fan, gauge, discharge]),
  ]
    .flatMap(fact => (fact === null ? [] : [fact.id]))
    .sort()

const foundations: readonly (readonly AreaKind[])[] = [
  ['basement'],
  ['slab'],
  ['crawl-space'],
  ['garage-slab'],
  ['ground-contact-wall'],
  ['basement', 'crawl-space'],
  ['slab', 'basement', 'garage-slab'],
]

describe.each(foundations.map(kinds => [kinds] as const))('a home over %s', kinds => {
  const facts = homeOver(...kinds)
  const model = sectionOf(facts)

  it('is drawn with each fact once and nothing made up', () => {
    const shown = drawn(facts).map(({ fact }) => fact)
    expect([...shown].sort()).toEqual(factIds(facts))
  })

  it('has the areas side by side over the whole width, each with its own floor', () => {
    const { left, right } = model.frame
    expect(model.areas.map(area => area.areaKind).sort()).toEqual([...kinds].sort())
    const width = model.areas.reduce((sum, area) => sum + area.w, 0)
    expect(width).toBeCloseTo(right - left)
    for (const area of model.areas) {
      const atGrade = area.areaKind === 'slab' || area.areaKind === 'garage-slab'
      expect(area.floorY === model.frame.ground).toBe(atGrade)
    }
  })

  it('keeps rooms within the house, on their floor, off each other', () => {
    const rooms = model.elements.filter(element => element.kind === 'room')
    for (const room of rooms) {
      const floor = facts.rooms.find(each => each.id === room.factId)!.floor
      expect(room.x).toBeGreaterThanOrEqual(model.frame.left)
      expect(room.x + room.w).toBeLessThanOrEqual(model.frame.right)
      expect(room.y >= model.frame.ground).toBe(floor < 0)
      const meets = rooms.filter(
        other =>
          other !== room &&
          other.x < room.x + room.w - 0.01 &&
          room.x < other.x + other.w - 0.01 &&
          other.y < room.y + room.h - 0.01 &&
          room.y < other.y + other.h - 0.01,
      )
      expect(meets).toEqual([])
    }
  })

  it('is told by the table as it is drawn', () => {
    const table = String(SectionTable({ model }))
    expect(table.match(/<th scope="row"/g)).toHaveLength(factIds(facts).length)
    for (const { label, value } of [...model.areas, ...model.elements]) {
      expect(table).toContain(label)
      expect(table).toContain(value)
    }
  })
})

describe('what is missing', () => {
  const states = (facts: SectionFacts) => drawn(facts).map(({ kind, fact, state }) => `${kind} ${fact || '–'} ${state}`)

  it('is drawn as missing: a foundation, a point, a pipe, a fan, a discharge, the reading of a gauge', () => {
    expect(states(patchyHome).sort()).toEqual([
      'area – missing',
      'discharge – missing',
      'fan – missing',
      'gauge gauge-1 unread',
      'pipe – missing',
      'room room-1 untested',
      'suction-point – missing',
    ])
  })

  it('is not a fan where the system is passive', () => {
    const passive = { ...patchyHome, systems: patchyHome.systems.map(system => ({ ...system, active: false })) }
    expect(states(passive)).not.toContain('fan – missing')
  })

  it('is no system at all in a home without one', () => {
    expect(states({ ...completeHome, systems: [] }).filter(line => /pipe|fan|gauge|point/.test(line))).toEqual([])
  })

  it('is a gauge where the system has none', () => {
    const facts = { ...completeHome, systems: completeHome.systems.map(system => ({ ...system, gauge: null })) }
    expect(states(facts)).toContain('gauge – missing')
    expect(states(completeHome)).toContain('gauge gauge-1 recorded')
  })
})

describe('a room', () => {
  it('shows the latest result as reported with its unit and day', () => {
    const room = sectionOf(completeHome).elements.find(element => element.factId === 'room-2')!
    expect(room).toMatchObject({ value: '4.4 pCi/L', on: '4 March 2026', state: 'at-or-above' })
  })

  it('with words that are no HTML is drawn as words', () => {
    const facts = { ...completeHome, rooms: [{ ...completeHome.rooms[0]!, name: '<i>' }] }
    const html = String(SectionPicture({ model: sectionOf(facts), home: '<b>', id: 's' }))
    expect(html).toContain('&lt;i')
    expect(html).not.toMatch(/<[ib]>/)
  })
})

it('many rooms, storeys and systems all find their place', () => {
  const rooms = Array.from({ length: 14 }, (_, index) => ({
    ...completeHome.rooms[3]!,
    id: `many-${index}`,
    floor: (index % 4) - 1,
  }))
  const systems = ['a', 'b', 'c'].map(id => ({
    ...completeHome.systems[0]!,
    id,
    pipe: { id, route: 'inside' as const },
  }))
  const model = sectionOf({ ...completeHome, rooms, systems })
  expect(model.elements.filter(element => element.kind === 'room')).toHaveLength(14)
  expect(new Set(model.frame.risers.map(riser => riser.x)).size).toBe(3)
})
