import { addDays, daysBetween } from '../calendar/day-sums.ts'
import type { LocalDay } from '../facts.ts'
import { type Chase, daysWords } from './chase.ts'
import { type KitFacts, type KitLimits, kitStateOf } from './kit-facts.ts'

/** Fewer days than these are left for the post and the laboratory's own desk. */
const soonDays = 3

/** What has to be done about a kit by today; null while nothing has. */
export function chaseOfKit(kit: KitFacts, limits: KitLimits, today: LocalDay): Chase | null {
  switch (kitStateOf(kit)) {
    case 'left':
      return lotExpired(kit, today) ?? noDates(kit, limits, today)
    case 'in-place':
      return lotExpired(kit, today) ?? tooLong(kit, limits, today)
    case 'to-post':
      return notPosted(kit, limits, today)
    case 'posted':
      return noAnswer(kit, limits, today)
    default:
      return null
  }
}

function noDates({ leftOn }: KitFacts, { askAfterDays }: KitLimits, today: LocalDay): Chase | null {
  const dueOn = addDays(leftOn, askAfterDays)
  if (today < dueOn) return null
  const reason = `left ${daysWords(daysBetween(leftOn, today))} ago, no dates; we ask after ${daysWords(askAfterDays)}`
  return { kind: 'no-dates', dueOn, reason, act: 'call-home' }
}

function tooLong({ exposedFrom }: KitFacts, { longestExposureDays }: KitLimits, today: LocalDay): Chase | null {
  const dueOn = addDays(exposedFrom!, longestExposureDays)
  if (today < dueOn) return null
  const days = daysWords(daysBetween(exposedFrom!, today))
  const reason = `in place for ${days}, no end is known; it may stay ${daysWords(longestExposureDays)}`
  return { kind: 'too-long', dueOn, reason, act: 'call-home' }
}

function notPosted({ exposedTo }: KitFacts, { laboratoryWithinDays }: KitLimits, today: LocalDay): Chase | null {
  if (laboratoryWithinDays === null || today <= exposedTo!) return null
  const dueOn = addDays(exposedTo!, laboratoryWithinDays)
  const left = daysBetween(today, dueOn)
  const how =
    left < 0
      ? `too old for the laboratory since ${dueOn}`
      : left <= soonDays
        ? `soon too old for the laboratory: it has to be there by ${dueOn}`
        : `it has to be at the laboratory by ${dueOn}`
  return { kind: 'not-posted', dueOn, reason: `exposed until ${exposedTo}, not posted; ${how}`, act: 'call-home' }
}

function noAnswer({ postedOn }: KitFacts, { answerWithinDays }: KitLimits, today: LocalDay): Chase | null {
  const dueOn = addDays(postedOn!, answerWithinDays)
  if (today < dueOn) return null
  const days = daysWords(daysBetween(postedOn!, today))
  const reason = `posted ${days} ago, no answer; we expect it within ${daysWords(answerWithinDays)}`
  return { kind: 'no-answer', dueOn, reason, act: 'call-laboratory' }
}

function lotExpired({ lotExpiresOn }: KitFacts, today: LocalDay): Chase | null {
  if (lotExpiresOn === null || today <= lotExpiresOn) return null
  const reason = `its lot was usable until ${lotExpiresOn}: it has to be replaced`
  return { kind: 'lot-expired', dueOn: lotExpiresOn, reason, act: 'call-home' }
}

/**
 * Whether a kit will not come back: it was lost, or whatever stretches of the company's limits were still before it when
 * it was last heard of have run out, one after the other.
 */
export function neverReturned(kit: KitFacts, limits: KitLimits, today: LocalDay): boolean {
  const [toLaboratory, inPlace] = [limits.laboratoryWithinDays ?? 0, limits.longestExposureDays]
  switch (kitStateOf(kit)) {
    case 'lost':
      return true
    case 'left':
      return today > addDays(kit.leftOn, limits.askAfterDays + inPlace + toLaboratory)
    case 'in-place':
      return today > addDays(kit.exposedFrom!, inPlace + toLaboratory)
    case 'to-post':
      return today > addDays(kit.exposedTo!, toLaboratory)
    default:
      return false
  }
}
