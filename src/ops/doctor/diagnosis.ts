import type { Database } from '../../platform/db/client.ts'
import type { Settings } from '../local-settings.ts'

/** What doctor found about one part: fine; something to know; something that is broken or will be. */
export type Diagnosis = {
  readonly part: string
  readonly state: 'fine' | 'notice' | 'wrong'
  readonly says: string
  /** What to do about it; '' when it is fine. */
  readonly remedy: string
}

export type Patient = {
  readonly db: Database
  readonly config: Settings
  /** epoch ms */
  readonly now: number
}

export const fine = (part: string, says: string): Diagnosis => ({ part, state: 'fine', says, remedy: '' })
export const notice = (part: string, says: string, remedy: string): Diagnosis => ({
  part,
  state: 'notice',
  says,
  remedy,
})
export const wrong = (part: string, says: string, remedy: string): Diagnosis => ({ part, state: 'wrong', says, remedy })

const day = 86_400_000

/** How long ago, in the largest unit that leaves a whole number. @param ms length of time */
export function ago(ms: number): string {
  if (ms < 120_000) return 'just now'
  const [amount, unit] =
    ms >= 2 * day ? [ms / day, 'days'] : ms >= 7_200_000 ? [ms / 3_600_000, 'hours'] : [ms / 60_000, 'minutes']
  return `${Math.floor(amount)} ${unit} ago`
}
