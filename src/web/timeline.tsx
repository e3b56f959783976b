import type { Children } from '@kitajs/html'
import type { LocalDay, When } from '../domain/facts.ts'
import { WhenText } from './when-text.tsx'

export type TimelineEntry = {
  readonly id: string
  readonly when: When
  /** The trade's noun: `Post-mitigation test`, `Fan replaced`. */
  readonly what: string
  readonly href?: string | null
  /** One line of HTML: the result, who did it. */
  readonly line?: Children
  /** Corrected since it was first written; links to the old values. */
  readonly corrected?: string | null
}

/** Every fact of one home as one history, newest first; undated ones stand at the end and say so. */
export function Timeline(props: {
  title: string
  entries: readonly TimelineEntry[]
  zone: string
  today?: LocalDay
}): JSX.Element {
  const { title, entries, zone, today } = props
  return (
    <section class="timeline">
      <h2 safe>{title}</h2>
      <ol>
        {entries.map(entry => (
          <li id={`fact-${entry.id}`}>
            <p class="when">
              <WhenText when={entry.when} zone={zone} today={today} />
            </p>
            <div class="what">
              <p>
                {entry.href ? (
                  <a href={entry.href} safe>
                    {entry.what}
                  </a>
                ) : (
                  <strong safe>{entry.what}</strong>
                )}
                {entry.corrected ? <Corrected href={entry.corrected} /> : ''}
              </p>
              <Line safeLine={entry.line} />
            </div>
          </li>
        ))}
      </ol>
    </section>
  )
}

const Corrected = ({ href }: { href: string }): JSX.Element => (
  <>
    {' '}
    <a class="corrected" href={href}>
      corrected
    </a>
  </>
)

// What stands in the line is HTML already, made by components.
const Line = ({ safeLine }: { safeLine: Children | undefined }): JSX.Element =>
  safeLine ? <div class="line">{safeLine}</div> : <></>
