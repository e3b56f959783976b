import type { LocalDay } from '../facts.ts'

/** Somebody's time around a home: from the first day up to, without, the last; null where that is not known, or open. */
export type Around = {
  readonly id: string
  readonly customerId: string
  readonly role: string
  readonly fromOn: LocalDay | null
  readonly untilOn: LocalDay | null
}

export type MergedPeople = {
  /** Times that the kept home has already: these are voided. */
  readonly doubled: readonly string[]
  /** Times of the kept home that become longer by them. */
  readonly longer: readonly Pick<Around, 'id' | 'fromOn' | 'untilOn'>[]
  /** Times that go to the kept home as they are. */
  readonly moved: readonly string[]
  /** Owners' times that the kept home gives to somebody else: they stay where they were. */
  readonly left: readonly string[]
}

/**
 * What becomes of the people of a doubled home when it goes into the kept one. Nobody stands there twice for the same
 * days, and where both name an owner for the same days, the kept home's stands.
 */
export function peopleOfMergedHome(doubled: readonly Around[], kept: readonly Around[]): MergedPeople {
  const there = [...kept]
  const found = { doubled: [] as string[], moved: [] as string[], left: [] as string[] }
  for (const time of doubled) {
    const at = there.findIndex(other => isSame(other, time) && touches(other, time))
    if (at >= 0) {
      found.doubled.push(time.id)
      there[at] = roomFor(together(there[at]!, time), there) ?? there[at]!
    } else if (inTheWay(time, there)) found.left.push(time.id)
    else {
      found.moved.push(time.id)
      there.push(time)
    }
  }
  const longer = there.flatMap(({ id, fromOn, untilOn }) => {
    const was = kept.find(time => time.id === id)
    return was && (was.fromOn !== fromOn || was.untilOn !== untilOn) ? [{ id, fromOn, untilOn }] : []
  })
  return { ...found, longer }
}

const isSame = (one: Around, other: Around) => one.customerId === other.customerId && one.role === other.role

// An unknown first day gives way to a known one; an open end stays open.
const together = (one: Around, other: Around): Around => ({
  ...one,
  fromOn:
    one.fromOn === null || other.fromOn === null ? (one.fromOn ?? other.fromOn) : earlier(one.fromOn, other.fromOn),
  untilOn: one.untilOn === null || other.untilOn === null ? null : later(one.untilOn, other.untilOn),
})
const earlier = (a: LocalDay, b: LocalDay) => (a < b ? a : b)
const later = (a: LocalDay, b: LocalDay) => (a < b ? b : a)

const roomFor = (time: Around, there: readonly Around[]): Around | null => (inTheWay(time, there) ? null : time)

/** Whether somebody else owns the home on any of these days: it has one owner at a time. */
const inTheWay = (time: Around, there: readonly Around[]): boolean =>
  time.role === 'owner' &&
  there.some(other => other.role === 'owner' && other.id !== time.id && !isSame(other, time) && overlaps(other, time))

const overlaps = (one: Around, other: Around): boolean => begins(one, other) && begins(other, one)
/** Whether the one begins before the other has ended. */
const begins = (one: Around, other: Around): boolean =>
  one.fromOn === null || other.untilOn === null || one.fromOn < other.untilOn
const touches = (one: Around, other: Around): boolean =>
  (one.fromOn === null || other.untilOn === null || one.fromOn <= other.untilOn) &&
  (other.fromOn === null || one.untilOn === null || other.fromOn <= one.untilOn)
