/** A home's section as elements with their place, before anything is drawn. User units; 400 wide. */
export type ElementKind = 'area' | 'room' | 'suction-point' | 'pipe' | 'fan' | 'gauge' | 'discharge'

export type SectionElement = {
  readonly kind: ElementKind
  /** The fact it stands for; null for a part that should be there and is not on record. */
  readonly factId: string | null
  /** The system a part belongs to. */
  readonly systemId: string | null
  /** `untested` and `unread`: the thing is there, its number is not. */
  readonly state: 'recorded' | 'missing' | 'untested' | 'unread' | 'at-or-above' | 'unsettled'
  /** `Family room`, `Gauge`. */
  readonly label: string
  /** `2.1 pCi/L`, `1.4 in. w.c.`, `not tested yet`. */
  readonly value: string
  /** `4 March 2026`. */
  readonly on: string
  readonly x: number
  readonly y: number
  readonly w: number
  readonly h: number
}

/** The vertical places that the walls and the earth are drawn from. */
export type SectionFrame = {
  readonly width: number
  readonly height: number
  readonly left: number
  readonly right: number
  readonly ridge: number
  readonly eaves: number
  readonly ground: number
  /** Top of each floor above ground, from the eaves down. */
  readonly floors: readonly number[]
  readonly runY: number
  readonly risers: readonly { readonly systemId: string; readonly x: number; readonly outside: boolean }[]
}

export type SectionModel = {
  readonly frame: SectionFrame
  readonly areas: readonly (SectionElement & { readonly areaKind: string; readonly floorY: number })[]
  readonly elements: readonly SectionElement[]
  /** What the picture shows, in a few sentences. */
  readonly description: string
}
