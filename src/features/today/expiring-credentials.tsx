import type { LocalDay } from '../../domain/facts.ts'
import { dayWords } from '../../web/day-words.ts'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { DueDay } from '../../web/when-text.tsx'
import type { CredentialLine } from './queries.ts'

/** Licences and certificates that run out soon, or have: whose, which, until when. */
export const ExpiringCredentials = ({
  lines,
  today,
}: {
  lines: readonly CredentialLine[]
  today: LocalDay
}): JSX.Element => (
  <List
    id="credentials"
    title="Licences that run out"
    order="soonest first"
    noun={['licence or certificate', 'licences and certificates']}
    count={lines.length}
    items={lines.map(line => (
      <div class="ledger-line">
        <p class="ledger-day">
          {line.expiresOn < today ? (
            <span class="due overdue" safe>{`ran out on ${dayWords(line.expiresOn, today)}`}</span>
          ) : (
            <DueDay day={line.expiresOn} today={today} />
          )}
        </p>
        <p class="ledger-words">
          <strong safe>{line.holder ?? 'The company'}</strong>
          <span class="light" safe>{`: ${line.kind} ${`${line.issuer} ${line.number}`.trim()}`}</span>
        </p>
        <p class="ledger-act">
          <a class="act" href={paths.credentials(line.credentialId)}>
            Enter the renewal<span class="unseen" safe>{`: ${line.number}`}</span>
          </a>
        </p>
      </div>
    ))}
    empty={{ text: 'Nothing runs out soon.' }}
  />
)
