import { SelectField } from '../../web/choice-field.tsx'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import type { AuditLine } from './audit-queries.ts'
import type { AuditQuery } from './schemas.ts'

type Props = { lines: readonly AuditLine[]; query: AuditQuery; next: string | null; zone: string }

const who = [
  { value: 'staff', words: 'people of the company' },
  { value: 'app', words: 'apps' },
  { value: 'homeowner', words: 'homeowners' },
  { value: 'operator', words: 'the operator' },
  { value: 'system', words: 'the service itself' },
]
const what = [
  { value: 'write', words: 'what was changed' },
  { value: 'read', words: 'what apps looked at' },
]

/** The audit log, newest first: who did what, and which app looked at whose data. */
export const AuditView = ({ lines, query, next, zone }: Props): JSX.Element => (
  <article>
    <h1>Who did what</h1>
    <p>Every change, and every look of an app at personal data. Lines are chained: none can be altered unseen.</p>
    <form action={paths.changes()} method="get" class="inline">
      <SelectField name="who" label="By" choices={who} value={query.who} empty="anyone" />
      <SelectField name="what" label="Only" choices={what} value={query.what} empty="both" />
      <button type="submit">Show</button>
    </form>
    {lines.length === 0 ? (
      <Empty text="Nothing of that kind is on record yet." />
    ) : (
      <Table
        caption={`${lines.length} lines, newest first`}
        columns={[{ words: 'When' }, { words: 'Who' }, { words: 'Did' }, { words: 'To' }, { words: 'Request' }]}
        rows={lines.map(line => [
          <InstantText at={line.at} zone={zone} />,
          <Text of={whoWords(line)} />,
          <Text of={didWords(line)} />,
          <Target line={line} />,
          <code safe>{line.requestId}</code>,
        ])}
      />
    )}
    {next ? (
      <p>
        <a class="next" href={next} rel="next">
          Show older ones
        </a>
      </p>
    ) : (
      ''
    )}
  </article>
)

const kinds: Readonly<Record<string, string>> = { operator: 'the operator', system: 'the service' }
const whoWords = ({ actorKind, who: name }: AuditLine): string => {
  if (actorKind === 'app') return `app ${name ?? '(gone)'}`
  return name ?? kinds[actorKind] ?? actorKind
}

const actions: Readonly<Record<string, string>> = {
  create: 'added',
  correct: 'changed',
  void: 'voided',
  restore: 'restored',
  move: 'moved',
  delete: 'erased',
  read: 'looked at',
  export: 'took out',
  import: 'read in from an export:',
}
const didWords = ({ action, noun, fields }: AuditLine): string => {
  const of = fields.length > 0 && action !== 'read' ? ` (${fields.join(', ')})` : ''
  return `${actions[action] ?? action} ${noun.replaceAll('-', ' ')}${of}`
}

const Target = ({ line }: { line: AuditLine }): JSX.Element => {
  if (line.propertyId)
    return (
      <a href={paths.home(line.propertyId)} safe>
        {line.what ?? 'a home'}
      </a>
    )
  return <Text of={line.what ?? ''} />
}
