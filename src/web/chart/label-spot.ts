import type { Reading } from './record-readings.ts'
import { plot, type RecordScale } from './record-scale.ts'

// What a letter of the drawing's text takes, in user units; the text is smaller on a wide screen.
const letterWidth = 7.3
const lineHeight = 17

/** Where the level's name hides the fewest readings: just over or under its rule, somewhere along it. */
export function labelSpot(text: string, ruleY: number, readings: readonly Reading[], { x, y }: RecordScale) {
  const width = text.length * letterWidth
  const steps = Array.from(
    { length: 9 },
    (_, index) => plot.right - width - (index * (plot.right - plot.left - width)) / 8,
  )
  const spots = steps.flatMap(left => [
    { x: left, y: ruleY - 6 },
    { x: left, y: ruleY + lineHeight },
  ])
  const hidden = (spot: { x: number; y: number }) =>
    readings.filter(({ from, to, value }) => {
      if (value === null || x(to) < spot.x || x(from) > spot.x + width) return false
      const height = y(value)
      return height > spot.y - lineHeight && height < spot.y + 6
    }).length
  return spots.map(spot => ({ ...spot, cost: hidden(spot) })).sort((a, b) => a.cost - b.cost)[0]!
}
