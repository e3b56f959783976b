import type { Finding } from '../domain/answers.ts'
import { InstantText } from './when-text.tsx'
import { ClauseText } from './working-view.tsx'

const effects: Record<Finding['effect'], string> = {
  invalidates: 'Makes the test invalid',
  warns: 'A note, the test stays valid',
}

const named = (code: string): string => `${code.charAt(0).toUpperCase()}${code.slice(1).replaceAll('-', ' ')}`

/** What was found about a test: each with what is allowed, what was found, where, and its clause. */
export function FindingList({ findings, zone }: { findings: readonly Finding[]; zone: string }): JSX.Element {
  if (findings.length === 0) return <p class="empty">Nothing was found against this test.</p>
  return (
    <ol class="findings ruled">
      {findings.map(finding => (
        <li class={`finding finding-${finding.effect}`}>
          <h3>
            <span safe>{named(finding.code)}</span>
            <span class="effect" safe>
              {effects[finding.effect]}
            </span>
          </h3>
          <dl class="pair">
            <div>
              <dt>Found</dt>
              <dd>
                <span safe>{finding.found}</span>
                {finding.at === null ? '' : <At at={finding.at} zone={zone} />}
              </dd>
            </div>
            <div>
              <dt>Allowed</dt>
              <dd safe>{finding.allowed}</dd>
            </div>
          </dl>
          {finding.rule ? (
            <p>
              <ClauseText rule={finding.rule} />
            </p>
          ) : (
            ''
          )}
        </li>
      ))}
    </ol>
  )
}

const At = ({ at, zone }: { at: number; zone: string }): JSX.Element => (
  <>
    {', '}
    <InstantText at={at} zone={zone} />
  </>
)
