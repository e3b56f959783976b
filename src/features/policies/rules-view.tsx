import type { LocalDay } from '../../domain/facts.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { DayText } from '../../web/when-text.tsx'
import type { PublishedPolicy } from './queries.ts'
import { levelOfHomes, statusCount } from './rule-lines.ts'

export type RulesViewProps = {
  readonly policies: readonly PublishedPolicy[]
  readonly today: LocalDay
  /** Whether this person may think of changes. */
  readonly drafts: boolean
}

/** Every rule set with its versions: where it holds, from when, how much of it was checked. */
export function RulesView({ policies, today, drafts }: RulesViewProps): JSX.Element {
  return (
    <>
      <h1>Rules</h1>
      <p>
        A home is judged by the rule set of its state or province, else of its country, else by the one for everywhere
        else; a test by the version in force on the day it ended. A rule is checked when somebody read it in its own
        document; an unverified one is from memory or a secondary page.
      </p>
      {drafts ? (
        <p>
          <a href={paths.ruleDrafts()}>What if a rule changes? Drafts of rules</a>
        </p>
      ) : (
        ''
      )}
      {policies.length === 0 ? (
        <Empty text="No rule set is published yet: the operator loads them." />
      ) : (
        <RulesTable policies={policies} today={today} />
      )}
    </>
  )
}

const RulesTable = ({ policies, today }: { policies: readonly PublishedPolicy[]; today: LocalDay }): JSX.Element => (
  <Table
    caption={`${policies.length} versions, by rule set and day`}
    columns={[
      { words: 'Rule set' },
      { words: 'For' },
      { words: 'Level for homes' },
      { words: 'In force from' },
      { words: 'Until' },
      { words: 'Rules' },
    ]}
    rows={policies.map(policy => [
      <a href={paths.rule(policy.code, policy.effectiveFrom)} safe>
        {policy.title}
      </a>,
      <Text of={policy.body.jurisdiction === '*' ? 'everywhere else' : policy.body.jurisdiction} />,
      <Text of={levelOfHomes(policy)} />,
      <DayText day={policy.effectiveFrom} />,
      policy.effectiveUntil === null ? <span>–</span> : <DayText day={policy.effectiveUntil} />,
      <Text of={`${statusCount(policy, today)}`} />,
    ])}
  />
)
