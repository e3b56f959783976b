import type { EvaluatedTest } from '../../domain/answers.ts'
import type { Instant } from '../../domain/facts.ts'
import { paths } from '../../web/paths.ts'
import { quantityWords } from '../../web/quantity-text.tsx'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import type { Attempt } from './attempt-queries.ts'
import { resultsOf } from './attempt-results.ts'

/** The tests after mitigation one below the other: what was changed before each, the gauge, the result. */
export function Attempts({
  attempts,
  testId,
  zone,
}: {
  attempts: readonly Attempt[]
  testId: string
  zone: string
}): JSX.Element {
  if (attempts.length < 2) return ''
  return (
    <section>
      <h2>Attempts after mitigation</h2>
      <Table
        caption="Post-mitigation tests of this system, oldest first"
        quietCaption
        columns={['Test ended', 'Changed before it', 'Gauge', 'Result'].map(words => ({ words }))}
        rows={attempts.map((attempt, i) => [
          attempt.testId === testId ? (
            <strong>
              <InstantText at={attempt.endedAt} zone={zone} />
            </strong>
          ) : (
            <a href={paths.test(attempt.testId)}>
              <InstantText at={attempt.endedAt} zone={zone} />
            </a>
          ),
          i === 0 ? <Text of="the first" /> : <Changes changes={attempt.changes} zone={zone} />,
          <Text of={attempt.gauge ? quantityWords(attempt.gauge) : 'not read'} />,
          <Text of={resultWords(attempt.evaluation)} />,
        ])}
      />
    </section>
  )
}

const Changes = ({ changes, zone }: { changes: Attempt['changes']; zone: string }): JSX.Element =>
  changes.length === 0 ? (
    <span class="unknown">nothing on record</span>
  ) : (
    <ul>
      {changes.map(change => (
        <li>
          <span safe>{changeWords(change)}</span>
          {', '}
          <InstantText at={change.at as Instant} zone={zone} />
        </li>
      ))}
    </ul>
  )

function changeWords({ kind, change, detail }: Attempt['changes'][number]): string {
  const what = kind.replaceAll('-', ' ')
  const words = change === 'event' ? what : `${what} ${change}`
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}${detail ? `: ${detail}` : ''}`
}

function resultWords(evaluation: EvaluatedTest | null): string {
  const results = resultsOf(evaluation).map(result => `${result.locationName} ${quantityWords(result)}`.trim())
  if (results.length === 0) return 'not in yet'
  return `${results.join('; ')}${evaluation?.validity === 'invalid' ? ', not valid' : ''}`
}
