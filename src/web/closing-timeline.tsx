import { civilDayOf } from '../domain/calendar/civil-day.ts'
import { addDays } from '../domain/calendar/day-sums.ts'
import { localDayOf, startOfDay } from '../domain/calendar/local-day.ts'
import type { Instant } from '../domain/facts.ts'
import { weekdayOf } from './day-words.ts'

/** One row: what is done or kept from when to when, and how far it may be moved. */
export type TimelineRow = {
  readonly words: string
  readonly kind: 'work' | 'kept' | 'measured' | 'waited'
  readonly from: Instant
  readonly until: Instant
  /** The latest moment it may end. */
  readonly latest: Instant | null
}
export type TimelineFacts = {
  readonly rows: readonly TimelineRow[]
  readonly deadline: Instant
  readonly zone: string
  readonly title: string
  readonly description: string
}

const rowHeight = 44
const top = 26

/**
 * A plan against the days: a line a step, days parted at midnight, the deadline a rule. Lengths are shares of the
 * width, words are not, so that both are read on a phone.
 */
export function ClosingTimeline({ rows, deadline, zone, title, description }: TimelineFacts): JSX.Element {
  const ends = rows.flatMap(row => [row.from, row.until, row.latest ?? row.until])
  const first = startOfDay(localDayOf(Math.min(...ends), zone), zone)
  const last = startOfDay(addDays(localDayOf(Math.max(...ends, deadline), zone), 1), zone)
  const share = (at: Instant) => `${(((at - first) / (last - first)) * 100).toFixed(2)}%`
  const wide = (from: Instant, until: Instant) => `${(((until - from) / (last - first)) * 100).toFixed(2)}%`
  const height = top + rows.length * rowHeight + 24
  return (
    <figure class="closing-timeline">
      <svg width="100%" height={String(height)} role="img" aria-labelledby="closing-title closing-desc">
        <title id="closing-title" safe>
          {title}
        </title>
        <desc id="closing-desc" safe>
          {description}
        </desc>
        <defs>
          <pattern id="closing-hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line class="hatch" x1="0" x2="0" y1="0" y2="6" />
          </pattern>
        </defs>
        <Days from={first} until={last} zone={zone} share={share} height={height} />
        {rows.map(({ words, kind, from, until, latest }, at) => (
          <g>
            <text class="step" x="2" y={String(top + at * rowHeight + 16)} safe>
              {words}
            </text>
            {latest !== null && latest > until ? (
              <rect
                class="room"
                x={share(until)}
                width={wide(until, latest)}
                y={String(top + at * rowHeight + 24)}
                height="10"
              />
            ) : (
              ''
            )}
            <rect
              class={kind}
              fill={kind === 'kept' ? 'url(#closing-hatch)' : undefined}
              x={share(from)}
              width={wide(from, until)}
              y={String(top + at * rowHeight + 22)}
              height="14"
            />
          </g>
        ))}
        <line class="deadline" x1={share(deadline)} x2={share(deadline)} y1={String(top - 4)} y2={String(height)} />
        <Named
          at={share(deadline)}
          y={height - 4}
          past={deadline - first > (last - first) / 2}
          words={`deadline ${dayName(deadline, zone)}`}
        />
      </svg>
    </figure>
  )
}

/** Words beside a line: a share of the width to begin at, then steps of the eye. */
const Named = (props: { at: string; y: number; words: string; past?: boolean }): JSX.Element => (
  <svg x={props.at} y="0" width="1" height="1" overflow="visible">
    <text class="day" x={props.past ? '-6' : '4'} y={String(props.y)} text-anchor={props.past ? 'end' : 'start'} safe>
      {props.words}
    </text>
  </svg>
)

type DaysProps = {
  readonly from: Instant
  readonly until: Instant
  readonly zone: string
  readonly share: (at: Instant) => string
  readonly height: number
}

function Days({ from, until, zone, share, height }: DaysProps): JSX.Element {
  const days: Instant[] = []
  for (let at = from; at < until; at = startOfDay(addDays(localDayOf(at, zone), 1), zone)) days.push(at)
  // At most six names have room on a phone.
  const every = Math.ceil(days.length / 6)
  return (
    <g>
      {days.map((at, index) => (
        <>
          <line class="midnight" x1={share(at)} x2={share(at)} y1="4" y2={String(height)} />
          {index % every === 0 ? <Named at={share(at)} y={16} words={dayName(at, zone)} /> : ''}
        </>
      ))}
    </g>
  )
}

const dayName = (at: Instant, zone: string) => {
  const day = localDayOf(at, zone)
  return `${weekdayOf(day)} ${civilDayOf(day).day}`
}
