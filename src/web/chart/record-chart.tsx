import { quantityWords } from '../quantity-text.tsx'
import { ClauseText } from '../working-view.tsx'
import { leftOutWords, type RecordFacts } from './record-facts.ts'
import { Axes, LeftOutBands, LevelRule, letterOf, MeanRule, stepPath } from './record-plot.tsx'
import { drawnValue, readingsOf } from './record-readings.ts'
import { plot, scaleOf } from './record-scale.ts'
import { RecordTable } from './record-table.tsx'
import { momentWords, recordFinding } from './record-words.ts'

/** A monitor's record drawn as a step line on the home's clock, the level as a rule, what is left out hatched. */
export function RecordChart({ facts, id = 'record' }: { facts: RecordFacts; id?: string }): JSX.Element {
  const readings = readingsOf(facts.series)
  const first = readings[0]
  const last = readings[readings.length - 1]
  if (!first || !last) return <p class="empty">The record holds no readings.</p>
  const { level, series, zone } = facts
  const levelHeight = level === null ? 0 : drawnValue(level.value, level.unit, series.unit) * 1.15
  const highest = Math.max(levelHeight, ...readings.map(reading => reading.value ?? 0))
  const scale = scaleOf(first.from, last.to, highest, zone)
  const finding = recordFinding(facts, readings)
  return (
    <figure class="record">
      <svg
        class="chart"
        viewBox={`0 0 ${plot.width} ${plot.height}`}
        role="img"
        aria-labelledby={`${id}-title ${id}-desc`}
      >
        <title id={`${id}-title`} safe>{`Radon in ${facts.room}, reading by reading`}</title>
        <desc id={`${id}-desc`} safe>
          {finding}
        </desc>
        <defs>
          <pattern id={`${id}-hatch`} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line class="hatch" x1="0" x2="0" y1="0" y2="6" />
          </pattern>
        </defs>
        <LeftOutBands facts={facts} scale={scale} id={id} />
        <Axes scale={scale} unit={series.unit} />
        <MeanRule facts={facts} scale={scale} />
        <path class="line" d={stepPath(readings, scale)} />
        <LevelRule facts={facts} readings={readings} scale={scale} />
      </svg>
      <figcaption>
        <p safe>{finding}</p>
        <Key facts={facts} />
        <details>
          <summary>The readings as a table</summary>
          <RecordTable facts={facts} readings={readings} />
        </details>
      </figcaption>
    </figure>
  )
}

/** What the letters, the level and the dashes stand for. */
function Key({ facts }: { facts: RecordFacts }): JSX.Element {
  const { leftOut, zone, rule, level, mean, series } = facts
  return (
    <ul class="key">
      {level && rule ? (
        <li>
          <span safe>{`Heavy rule: ${level.label} ${quantityWords(level)},`}</span> <ClauseText rule={rule} />
        </li>
      ) : (
        ''
      )}
      {mean === null ? (
        ''
      ) : (
        <li safe>{`Dashes: mean of the hours used, ${quantityWords({ value: mean, unit: series.unit })}`}</li>
      )}
      {leftOut.map(({ from, to, why }, index) => (
        <li>
          <span safe>{`${letterOf(index)}, hatched: left out, ${leftOutWords[why]}: `}</span>
          <span safe>{`${momentWords(from, zone)} to ${momentWords(to, zone)}`}</span>
        </li>
      ))}
    </ul>
  )
}
