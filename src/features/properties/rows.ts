import type { VerdictOutcome } from '../../domain/answers.ts'
import type { LocalDay } from '../../domain/facts.ts'

export type FoundationArea = {
  readonly id: string
  readonly kind: string
  readonly name: string
  readonly areaM2: number | null
  readonly version: number
}
export type TestLocation = {
  readonly id: string
  readonly name: string
  readonly floor: number
  readonly roomKind: string
  readonly livedIn: boolean | null
  readonly foundationAreaId: string | null
  readonly note: string
  readonly version: number
}
/** What is editable of a home itself. */
export type PropertyColumns = {
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly country: string
  readonly zone: string
  /** Whether the zone was found from the address, given by a person, or assumed where an old record does not tell it. */
  readonly zoneSource: 'found' | 'given' | 'assumed'
  readonly jurisdiction: string
  readonly buildingUse: string
  readonly yearBuilt: number | null
  readonly storeys: number | null
  readonly accessNote: string
  readonly gateCode: string
  readonly dogNote: string
  readonly note: string
}
export type Property = PropertyColumns & {
  readonly id: string
  readonly foundationAreas: readonly FoundationArea[]
  readonly testLocations: readonly TestLocation[]
  readonly standing: {
    readonly outcome: VerdictOutcome
    readonly nextDueOn: LocalDay | null
    readonly version: number
  } | null
  readonly version: number
  readonly createdAt: number
  readonly updatedAt: number
  readonly voidedAt: number | null
  readonly voidReason: string | null
  /** Of a doubled entry: the one that stays. */
  readonly mergedIntoId: string | null
}
/** A person around a home, owners included. */
export type AroundHome = {
  readonly id: string
  readonly customerId: string
  readonly name: string
  readonly email: string | null
  readonly phone: string | null
  readonly role: string
  readonly fromOn: LocalDay | null
  readonly untilOn: LocalDay | null
  readonly roughly: string | null
  readonly version: number
}
export type HomeEvent = {
  readonly id: string
  readonly kind: string
  readonly at: number | null
  readonly roughly: string | null
  readonly note: string
  readonly version: number
  readonly createdAt: number
  readonly voidedAt: number | null
  readonly voidReason: string | null
}
