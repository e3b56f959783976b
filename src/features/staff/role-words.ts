import type { Role } from '../../platform/auth/actor.ts'

export const roleChoices: readonly { value: Role; words: string; hint: string }[] = [
  { value: 'owner', words: 'Owner', hint: 'everything, and alone: people, rules, apps, the company' },
  { value: 'office', words: 'Office', hint: 'all homes, tests, reminders and mails' },
  { value: 'crew', words: 'Crew', hint: 'the visits they are assigned to and the homes behind them' },
]

/** `owner and office`, in the order of what they may do. */
export const roleWords = (roles: readonly string[]): string =>
  roleChoices
    .filter(({ value }) => roles.includes(value))
    .map(({ words }) => words.toLowerCase())
    .join(' and ')
