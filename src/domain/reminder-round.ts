import type { Instant } from './facts.ts'

/** What is remembered of an obligation from the last reckoning. */
export type KeptObligation = {
  readonly kind: string
  readonly causeId: string
  readonly round: number
  readonly dueAt: Instant
}

/**
 * The round of reminders an obligation is in. A due day that moves so far that even its first rung lies
 * beyond the old due day starts a new round; any smaller move stays in the old one, where a rung that was
 * sent is never sent again.
 */
export function reminderRoundOf(kept: KeptObligation | undefined, firstRungAt: Instant | undefined): number {
  if (!kept) return 1
  return firstRungAt !== undefined && firstRungAt > kept.dueAt ? kept.round + 1 : kept.round
}
