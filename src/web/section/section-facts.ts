import type { VerdictOutcome } from '../../domain/answers.ts'
import type { LocalDay, Reported } from '../../domain/facts.ts'

export type AreaKind = 'basement' | 'slab' | 'crawl-space' | 'garage-slab' | 'ground-contact-wall'

/** What a home's section is drawn from. Every id is the id of the fact; what is null or absent is drawn as missing. */
export type SectionFacts = {
  /** Storeys above ground; null when not known. */
  readonly storeys: number | null
  readonly areas: readonly {
    readonly id: string
    readonly kind: AreaKind
    readonly name: string
    readonly areaM2: number | null
  }[]
  readonly rooms: readonly {
    readonly id: string
    readonly name: string
    /** -1 basement, 0 ground, 1 the first above it. */
    readonly floor: number
    readonly areaId: string | null
    /** The latest result: as reported, the local day it ended, and how it stands to the level. */
    readonly latest:
      | (Pick<Reported, 'value' | 'unit' | 'qualifier'> & {
          readonly on: LocalDay | null
          readonly outcome: VerdictOutcome | null
        })
      | null
  }[]
  readonly systems: readonly SectionSystem[]
}

export type SectionSystem = {
  readonly id: string
  /** The tag or another short name; null when it has none. */
  readonly name: string | null
  /** false: a passive pipe, which has no fan and needs none. */
  readonly active: boolean
  readonly points: readonly { readonly id: string; readonly name: string; readonly areaId: string | null }[]
  readonly pipe: { readonly id: string; readonly route: 'inside' | 'outside' | null } | null
  readonly fan: { readonly id: string; readonly model: string } | null
  readonly gauge: {
    readonly id: string
    readonly reading: { readonly value: string; readonly unit: string; readonly on: LocalDay | null } | null
  } | null
  readonly discharge: { readonly id: string; readonly place: string } | null
}
