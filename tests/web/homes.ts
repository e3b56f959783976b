import type { AreaKind, SectionFacts } from '../../src/web/section/section-facts.ts'

const system: SectionFacts['systems'][number] = {
  id: 'system-1',
  name: 'RS-104',
  active: true,
  points: [{ id: 'point-1', name: 'South-east corner', areaId: 'area-1' }],
  pipe: { id: 'pipe-1', route: 'inside' },
  fan: { id: 'fan-1', model: 'Type 3' },
  gauge: { id: 'gauge-1', reading: { value: '1.4', unit: 'in. w.c.', on: '2026-03-04' } },
  discharge: { id: 'outlet-1', place: 'Above the roof' },
}

/** A home of two storeys over a basement with everything on record. */
export const completeHome: SectionFacts = {
  storeys: 2,
  areas: [{ id: 'area-1', kind: 'basement', name: 'Basement', areaM2: 92 }],
  rooms: [
    {
      id: 'room-1',
      name: 'Family room',
      floor: -1,
      areaId: 'area-1',
      latest: { value: '2.1', unit: 'pCi/L', qualifier: '=', on: '2026-03-04', outcome: 'below' },
    },
    {
      id: 'room-2',
      name: 'Workshop',
      floor: -1,
      areaId: 'area-1',
      latest: { value: '4.4', unit: 'pCi/L', qualifier: '=', on: '2026-03-04', outcome: 'at-or-above' },
    },
    {
      id: 'room-3',
      name: 'Living room',
      floor: 0,
      areaId: null,
      latest: { value: '0.9', unit: 'pCi/L', qualifier: '=', on: '2026-03-04', outcome: 'below' },
    },
    { id: 'room-4', name: 'North bedroom', floor: 1, areaId: null, latest: null },
  ],
  systems: [system],
}

/** The same life over another foundation. */
export function homeOver(...kinds: readonly AreaKind[]): SectionFacts {
  const areas = kinds.map((kind, index) => ({ id: `area-${index + 1}`, kind, name: `Part ${index + 1}`, areaM2: 60 }))
  const deep = kinds.includes('basement') || kinds.includes('ground-contact-wall')
  const rooms = completeHome.rooms.filter(room => deep || room.floor >= 0)
  return { ...completeHome, areas, rooms: rooms.map(room => ({ ...room, areaId: null })) }
}

/** A home of which little is known: no foundation, a system without fan, with an empty gauge. */
export const patchyHome: SectionFacts = {
  storeys: null,
  areas: [],
  rooms: [{ id: 'room-1', name: 'Kitchen', floor: 0, areaId: null, latest: null }],
  systems: [{ ...system, points: [], pipe: null, fan: null, discharge: null, gauge: { id: 'gauge-1', reading: null } }],
}

/** A home whose parts and rooms have long names. */
export const wordyHome: SectionFacts = {
  ...completeHome,
  rooms: completeHome.rooms.map(room => ({ ...room, name: `${room.name} beside the old workshop` })),
  systems: [
    {
      ...system,
      fan: { id: 'fan-1', model: 'High-suction fan, series 14, variable speed' },
      discharge: { id: 'outlet-1', place: 'Above the roof, north side' },
    },
  ],
}
