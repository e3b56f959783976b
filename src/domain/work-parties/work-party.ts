import type { LocalDay } from '../facts.ts'

export type WorkSubject = 'test' | 'visit' | 'callback' | 'system'
export type WorkPart = 'ordered' | 'pays' | 'may-see'

/** Somebody's part in a piece of work, from a first to a last day, both included; null where there is none. */
export type WorkParty = {
  readonly customerId: string
  readonly part: WorkPart
  readonly firstOn: LocalDay | null
  readonly lastOn: LocalDay | null
}

export const holdsOn = ({ firstOn, lastOn }: Pick<WorkParty, 'firstOn' | 'lastOn'>, day: LocalDay): boolean =>
  (firstOn === null || firstOn <= day) && (lastOn === null || day <= lastOn)
