import type { LocalDay } from '../facts.ts'

export type KitMethod = 'activated-charcoal' | 'liquid-scintillation' | 'alpha-track' | 'electret'

/** What a company expects of one kind of kit, in days. */
export type KitLimits = {
  /** From leaving a kit to asking for its days. */
  readonly askAfterDays: number
  readonly longestExposureDays: number
  /** From the end of the exposure to the laboratory; null where none reads it. */
  readonly laboratoryWithinDays: number | null
  /** From the post to the laboratory's answer. */
  readonly answerWithinDays: number
}

/** One mail-in kit that left the shop; its days are days as the homeowner says them. */
export type KitFacts = {
  readonly number: string
  readonly lotExpiresOn: LocalDay | null
  readonly leftOn: LocalDay
  readonly exposedFrom: LocalDay | null
  readonly exposedTo: LocalDay | null
  readonly postedOn: LocalDay | null
  readonly answeredOn: LocalDay | null
  readonly returnedOn: LocalDay | null
  readonly lostOn: LocalDay | null
}

export type KitState = 'left' | 'in-place' | 'to-post' | 'posted' | 'answered' | 'returned' | 'lost'

/** How far a kit has come. An answer settles it, whatever was said before. */
export function kitStateOf(kit: KitFacts): KitState {
  if (kit.answeredOn !== null) return 'answered'
  if (kit.returnedOn !== null) return 'returned'
  if (kit.lostOn !== null) return 'lost'
  if (kit.postedOn !== null) return 'posted'
  if (kit.exposedTo !== null) return 'to-post'
  return kit.exposedFrom === null ? 'left' : 'in-place'
}
