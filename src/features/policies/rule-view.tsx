import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { DayText } from '../../web/when-text.tsx'
import type { PublishedPolicy } from './queries.ts'
import { type RuleLine, ruleLines } from './rule-lines.ts'

/** One version of a rule set: every rule with its value, its clause and whether it was checked. */
export function RuleView({
  policy,
  versions,
  drafts,
}: {
  policy: PublishedPolicy
  versions: readonly PublishedPolicy[]
  /** Whether this person may think of changes. */
  drafts: boolean
}): JSX.Element {
  const { body } = policy
  return (
    <>
      <h1 safe>{policy.title}</h1>
      <p>
        {'In force from '}
        <DayText day={policy.effectiveFrom} />
        {policy.effectiveUntil === null ? '' : ' until '}
        {policy.effectiveUntil === null ? '' : <DayText day={policy.effectiveUntil} />}
        <span safe>{parentWords(policy)}</span>
      </p>
      {versions.length > 1 ? <Versions policy={policy} versions={versions} /> : ''}
      {drafts ? (
        <p>
          <a href={paths.newRuleDraft(policy.code)}>Draft a change of it</a>
        </p>
      ) : (
        ''
      )}
      <p>
        <strong>Checked</strong> means that somebody read the rule in the document that stands beside it;{' '}
        <strong>unverified</strong> that it is from memory or a secondary page: read the document before you rely on it.
      </p>
      <Group title="Homes and every other building" lines={ruleLines(body.rules, body.instruments)} />
      {Object.entries(body.uses).map(([use, group]) => (
        <Group title={useWords[use] ?? use} lines={ruleLines(group, body.instruments)} />
      ))}
      {body.notes.length > 0 ? <Notes notes={body.notes} /> : ''}
    </>
  )
}

const parentWords = ({ parentCode }: PublishedPolicy): string =>
  parentCode ? `. What is not said here is taken from ${parentCode === 'WHO' ? 'the WHO' : parentCode}.` : '.'

const useWords: Readonly<Record<string, string>> = {
  home: 'Homes',
  'rented-home': 'What differs for a rented home',
  school: 'What differs for a school',
  workplace: 'What differs for a workplace',
  'public-building': 'What differs for a public building',
}
const partWords: Record<RuleLine['part'], string> = {
  level: 'The level a result is held against, and what is asked',
  deciding: 'What decides',
  measuring: 'How a test is made',
  times: 'By when',
}

const Group = ({ title, lines }: { title: string; lines: readonly RuleLine[] }): JSX.Element => (
  <section>
    <h2 safe>{title}</h2>
    {(Object.keys(partWords) as RuleLine['part'][]).map(part => (
      <RuleTable caption={partWords[part]} lines={lines.filter(line => line.part === part)} />
    ))}
  </section>
)

const Versions = ({
  policy,
  versions,
}: {
  policy: PublishedPolicy
  versions: readonly PublishedPolicy[]
}): JSX.Element => (
  <nav aria-label="Versions">
    <ul class="inline">
      {versions.map(version => (
        <li>
          <a
            href={paths.rule(version.code, version.effectiveFrom)}
            aria-current={version.id === policy.id ? 'page' : undefined}
            safe
          >
            {`From ${version.effectiveFrom}`}
          </a>
        </li>
      ))}
    </ul>
  </nav>
)

const RuleTable = ({ caption, lines }: { caption: string; lines: readonly RuleLine[] }): JSX.Element =>
  lines.length === 0 ? (
    ''
  ) : (
    <Table
      caption={caption}
      columns={[{ words: 'Rule' }, { words: 'Says' }, { words: 'Stands in' }, { words: 'Status' }]}
      rows={lines.map(line => [
        <Text of={line.name} />,
        <Text of={line.value} />,
        <Text of={line.clause} />,
        <span class={line.status}>{line.status}</span>,
      ])}
    />
  )

const Notes = ({ notes }: { notes: readonly string[] }): JSX.Element => (
  <section>
    <h2>Notes</h2>
    <ul>
      {notes.map(note => (
        <li safe>{note}</li>
      ))}
    </ul>
  </section>
)
