import { type Exact, unitsHalfUp } from './exact.ts'

const placesOf = (denominator: bigint): number | null => {
  let rest = denominator
  let twos = 0
  let fives = 0
  for (; rest % 2n === 0n; rest /= 2n) twos += 1
  for (; rest % 5n === 0n; rest /= 5n) fives += 1
  return rest === 1n ? Math.max(twos, fives) : null
}

/** `decimals` places exactly, rounded half-up: `4.0`. */
export function fixedText(value: Exact, decimals: number): string {
  const units = unitsHalfUp(value, decimals)
  const digits = units.toString().padStart(decimals + 1, '0')
  const whole = digits.slice(0, digits.length - decimals)
  const sign = value.s < 0n && units !== 0n ? '-' : ''
  return decimals === 0 ? `${sign}${whole}` : `${sign}${whole}.${digits.slice(-decimals)}`
}

/** The exact value as text: a decimal where a finite one exists, with at least `atLeast` places, else a fraction `7/3`. */
export function exactText(value: Exact, atLeast = 0): string {
  const places = placesOf(value.d)
  if (places !== null) return fixedText(value, Math.max(places, atLeast))
  return `${value.s < 0n ? '-' : ''}${value.n}/${value.d}`
}

/** For a line of working: exact when it has at most `most` places, else rounded there and marked `…`. */
export function shownText(value: Exact, most = 3, atLeast = 0): string {
  const places = placesOf(value.d)
  const limit = Math.max(most, atLeast)
  return places !== null && places <= limit
    ? fixedText(value, Math.max(places, atLeast))
    : `${fixedText(value, limit)}…`
}
