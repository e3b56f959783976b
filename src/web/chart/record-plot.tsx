import { dayWords, weekdayOf } from '../day-words.ts'
import { quantityWords, unitWords } from '../quantity-text.tsx'
import { labelSpot } from './label-spot.ts'
import type { RecordFacts } from './record-facts.ts'
import { drawnValue, type Reading } from './record-readings.ts'
import { plot, type RecordScale } from './record-scale.ts'

const n = (value: number): string => String(Math.round(value * 10) / 10)

/** The line rises and falls only at the ends of intervals, and breaks where a reading is missing. */
export function stepPath(readings: readonly Reading[], { x, y }: RecordScale): string {
  let pen = false
  return readings
    .map(({ from, to, value }) => {
      if (value === null) {
        pen = false
        return ''
      }
      const move = `${pen ? 'H' : 'M'}${n(x(from))}${pen ? `V${n(y(value))}` : ` ${n(y(value))}`}H${n(x(to))}`
      pen = true
      return move
    })
    .join('')
}

export const letterOf = (index: number): string => String.fromCharCode(97 + (index % 26))

/** Hours that the mean leaves out: hatched, each with a letter that the key below explains. */
export function LeftOutBands({
  facts,
  scale,
  id,
}: {
  facts: RecordFacts
  scale: RecordScale
  id: string
}): JSX.Element {
  const inPlot = (at: number) => Math.min(plot.right, Math.max(plot.left, scale.x(at)))
  return (
    <g class="left-out">
      {facts.leftOut.map(({ from, to }, index) => {
        const [start, end] = [inPlot(from), inPlot(to)]
        const box = {
          x: n(start),
          y: n(plot.top),
          width: n(Math.max(1, end - start)),
          height: n(plot.bottom - plot.top),
        }
        return (
          <g data-from={String(from)} data-to={String(to)}>
            <rect {...box} fill={`url(#${id}-hatch)`} />
            <text class="letter" x={n((start + end) / 2)} y={n(plot.top - 8)} text-anchor="middle" safe>
              {letterOf(index)}
            </text>
          </g>
        )
      })}
    </g>
  )
}

export function Axes({ scale, unit }: { scale: RecordScale; unit: string }): JSX.Element {
  return (
    <g class="axes">
      {scale.valueTicks.map(value => (
        <g>
          <line x1={n(plot.left - 4)} x2={n(plot.right)} y1={n(scale.y(value))} y2={n(scale.y(value))} />
          <text x={n(plot.left - 8)} y={n(scale.y(value) + 5)} text-anchor="end" safe>
            {String(value)}
          </text>
        </g>
      ))}
      <text x="2" y="14" safe>
        {unitWords(unit)}
      </text>
      {scale.dayTicks.map(({ day, at }) => (
        <g class="day-tick">
          <line x1={n(scale.x(at))} x2={n(scale.x(at))} y1={n(plot.top)} y2={n(plot.bottom + 6)} />
          <text x={n(scale.x(at) + 4)} y={n(plot.bottom + 20)} safe>
            {`${weekdayOf(day)} ${dayWords(day).split(' ')[0]}`}
          </text>
        </g>
      ))}
    </g>
  )
}

/** The level as a rule across the plot, named where it stands. */
type LevelRuleProps = { facts: RecordFacts; readings: readonly Reading[]; scale: RecordScale }
export function LevelRule({ facts, readings, scale }: LevelRuleProps): JSX.Element {
  const { level, series } = facts
  if (level === null) return <g class="level" />
  const y = scale.y(drawnValue(level.value, level.unit, series.unit))
  const words = `${level.label} ${quantityWords(level)}`
  const spot = labelSpot(words, y, readings, scale)
  return (
    <g class="level">
      <line x1={n(plot.left - 10)} x2={n(plot.right)} y1={n(y)} y2={n(y)} />
      <text class="halo" x={n(spot.x)} y={n(spot.y)} safe>
        {words}
      </text>
    </g>
  )
}

export function MeanRule({ facts, scale }: { facts: RecordFacts; scale: RecordScale }): JSX.Element {
  const { mean, usableFrom, usableTo, series } = facts
  if (mean === null || usableFrom === null || usableTo === null) return <g class="mean" />
  const y = scale.y(drawnValue(mean, series.unit, series.unit))
  return (
    <g class="mean">
      <line x1={n(scale.x(usableFrom))} x2={n(scale.x(usableTo))} y1={n(y)} y2={n(y)} />
    </g>
  )
}
