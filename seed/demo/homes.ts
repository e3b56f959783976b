import type { CustomerKey } from './cast.ts'

/** A home of the demo: where it stands and how it is built. What happened there is told in stories.ts. */
export type DemoHome = {
  readonly key: string
  readonly owner: CustomerKey
  readonly ownerSinceYearsAgo: number
  /** Who owned it before, and sold it then. */
  readonly formerOwner?: CustomerKey
  readonly street: string
  readonly city: string
  readonly region: string
  readonly country: string
  readonly zone: string
  readonly jurisdiction: string
  readonly buildingUse?: 'home' | 'school'
  readonly yearBuilt: number | null
  readonly storeys: number
  readonly areas: readonly {
    kind: 'basement' | 'slab' | 'crawl-space' | 'garage-slab'
    name: string
    areaM2: number | null
  }[]
  readonly rooms: readonly { name: string; floor: number; roomKind: string; livedIn: boolean | null }[]
  readonly accessNote?: string
  readonly gateCode?: string
  readonly dogNote?: string
}

const minnesota = { city: 'Alder Falls', region: 'MN', country: 'US', zone: 'America/Chicago', jurisdiction: 'US-MN' }
const ontario = { city: 'Tamarack Bay', region: 'ON', country: 'CA', zone: 'America/Toronto', jurisdiction: 'CA-ON' }

const basementAndTwoFloors = {
  storeys: 2,
  areas: [{ kind: 'basement', name: 'Basement', areaM2: 92 }],
  rooms: [
    { name: 'Family room', floor: -1, roomKind: 'basement', livedIn: true },
    { name: 'Living room', floor: 0, roomKind: 'living-room', livedIn: true },
    { name: 'North bedroom', floor: 1, roomKind: 'bedroom', livedIn: true },
  ],
} as const

const slabBungalow = {
  storeys: 1,
  areas: [{ kind: 'slab', name: 'Slab on grade', areaM2: 118 }],
  rooms: [
    { name: 'Living room', floor: 0, roomKind: 'living-room', livedIn: true },
    { name: 'Bedroom', floor: 0, roomKind: 'bedroom', livedIn: true },
  ],
} as const

export const homes: readonly DemoHome[] = [
  {
    key: 'kestrel',
    owner: 'birch',
    ownerSinceYearsAgo: 11,
    street: '12 Kestrel Lane',
    ...minnesota,
    yearBuilt: 1962,
    ...basementAndTwoFloors,
    accessNote: 'Key with the neighbour at no. 14',
    dogNote: 'Old dog, friendly',
  },
  {
    key: 'quarry',
    owner: 'quarry',
    ownerSinceYearsAgo: 1,
    formerOwner: 'former',
    street: '48 Quarry Road',
    ...minnesota,
    yearBuilt: 1948,
    storeys: 2,
    areas: [
      { kind: 'basement', name: 'Old cellar', areaM2: 54 },
      { kind: 'crawl-space', name: 'Under the kitchen', areaM2: 21 },
    ],
    rooms: [
      { name: 'Cellar workshop', floor: -1, roomKind: 'basement', livedIn: true },
      { name: 'Kitchen side room', floor: 0, roomKind: 'room', livedIn: true },
      { name: 'Attic bedroom', floor: 1, roomKind: 'bedroom', livedIn: null },
    ],
    gateCode: '2580#',
  },
  {
    key: 'larkspur',
    owner: 'larch',
    ownerSinceYearsAgo: 3,
    street: '7 Larkspur Court',
    ...minnesota,
    yearBuilt: 1997,
    ...basementAndTwoFloors,
  },
  {
    key: 'heron',
    owner: 'heron',
    ownerSinceYearsAgo: 1,
    street: '301 Heron Street',
    ...minnesota,
    yearBuilt: 1975,
    ...slabBungalow,
  },
  {
    key: 'sorrel',
    owner: 'sorrel',
    ownerSinceYearsAgo: 14,
    street: '9 Sorrel Mews',
    ...minnesota,
    yearBuilt: 1989,
    ...basementAndTwoFloors,
  },
  {
    key: 'bluff',
    owner: 'ibsley',
    ownerSinceYearsAgo: 0.2,
    street: '66 Bluff View',
    ...minnesota,
    yearBuilt: 2004,
    ...basementAndTwoFloors,
  },
  {
    key: 'mill',
    owner: 'mallow',
    ownerSinceYearsAgo: 20,
    street: '2 Old Mill Terrace',
    ...minnesota,
    yearBuilt: 1931,
    storeys: 2,
    areas: [
      { kind: 'basement', name: 'Stone cellar', areaM2: 60 },
      { kind: 'slab', name: 'Extension of 1984', areaM2: 30 },
    ],
    rooms: [
      { name: 'Stone cellar', floor: -1, roomKind: 'basement', livedIn: false },
      { name: 'Extension', floor: 0, roomKind: 'living-room', livedIn: true },
      { name: 'Bedroom', floor: 1, roomKind: 'bedroom', livedIn: true },
    ],
  },
  {
    key: 'cedar',
    owner: 'birch',
    ownerSinceYearsAgo: 0.15,
    street: '85 Cedar Loop',
    ...minnesota,
    yearBuilt: 1979,
    ...slabBungalow,
  },
  {
    key: 'pond',
    owner: 'quarry',
    ownerSinceYearsAgo: 2,
    street: '5 Pondside',
    ...minnesota,
    yearBuilt: 1968,
    ...basementAndTwoFloors,
  },
  {
    key: 'ridge',
    owner: 'larch',
    ownerSinceYearsAgo: 5,
    street: '140 Ridge Avenue',
    ...minnesota,
    yearBuilt: null,
    ...slabBungalow,
  },
  {
    key: 'meadow',
    owner: 'heron',
    ownerSinceYearsAgo: 0.4,
    street: '31 Meadowsweet Way',
    ...minnesota,
    yearBuilt: 1991,
    ...basementAndTwoFloors,
  },
  {
    key: 'school',
    owner: 'school',
    ownerSinceYearsAgo: 30,
    street: '1 Schoolhouse Hill',
    ...minnesota,
    buildingUse: 'school',
    yearBuilt: 1956,
    storeys: 1,
    areas: [{ kind: 'slab', name: 'Classroom wing', areaM2: 900 }],
    rooms: [
      { name: 'Room 101', floor: 0, roomKind: 'classroom', livedIn: true },
      { name: 'Room 102', floor: 0, roomKind: 'classroom', livedIn: true },
      { name: 'Office', floor: 0, roomKind: 'office', livedIn: true },
    ],
  },
  {
    key: 'bay',
    owner: 'vance',
    ownerSinceYearsAgo: 8,
    street: '22 Lighthouse Row',
    ...ontario,
    yearBuilt: 1984,
    ...basementAndTwoFloors,
  },
  {
    key: 'cove',
    owner: 'maple',
    ownerSinceYearsAgo: 2,
    street: '3 Cove Crescent',
    ...ontario,
    yearBuilt: 2011,
    ...basementAndTwoFloors,
  },
  {
    key: 'moor',
    owner: 'thorn',
    ownerSinceYearsAgo: 16,
    street: '8 Moorgate Cottages',
    city: 'Netherby Cross',
    region: 'Devon',
    country: 'GB',
    zone: 'Europe/London',
    jurisdiction: 'GB',
    yearBuilt: 1890,
    storeys: 2,
    areas: [{ kind: 'slab', name: 'Solid floor', areaM2: 48 }],
    rooms: [
      { name: 'Sitting room', floor: 0, roomKind: 'living-room', livedIn: true },
      { name: 'Bedroom', floor: 1, roomKind: 'bedroom', livedIn: true },
    ],
  },
  {
    key: 'kauri',
    owner: 'kauri',
    ownerSinceYearsAgo: 3,
    street: '17 Ponga Rise',
    city: 'Te Ara Bay',
    region: '',
    country: 'NZ',
    zone: 'Pacific/Auckland',
    jurisdiction: 'NZ',
    yearBuilt: 1972,
    storeys: 1,
    areas: [{ kind: 'crawl-space', name: 'Subfloor', areaM2: 88 }],
    rooms: [
      { name: 'Lounge', floor: 0, roomKind: 'living-room', livedIn: true },
      { name: 'Bedroom', floor: 0, roomKind: 'bedroom', livedIn: true },
    ],
  },
  {
    key: 'orchard',
    owner: 'sorrel',
    ownerSinceYearsAgo: 4,
    street: '19 Orchard Steps',
    ...minnesota,
    yearBuilt: 1983,
    ...slabBungalow,
  },
  {
    key: 'dale',
    owner: 'larch',
    ownerSinceYearsAgo: 2,
    street: '31 Dale Turning',
    ...minnesota,
    yearBuilt: 1978,
    ...basementAndTwoFloors,
  },
  {
    key: 'fold',
    owner: 'mallow',
    ownerSinceYearsAgo: 0.3,
    street: '14 Sheepfold Road',
    ...minnesota,
    yearBuilt: 1954,
    ...slabBungalow,
  },
]
