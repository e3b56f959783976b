import { Empty } from '../../../web/list.tsx'
import { paths } from '../../../web/paths.ts'
import { Table, Text } from '../../../web/table.tsx'
import { DayText } from '../../../web/when-text.tsx'
import { ChooseRuleSet } from './draft-form.tsx'
import type { Draft } from './draft-queries.ts'

/** All drafts with what became of them, and the rule sets to begin one of. */
export function DraftsView({
  drafts,
  sets,
}: {
  drafts: readonly Draft[]
  sets: readonly { code: string; title: string }[]
}): JSX.Element {
  return (
    <>
      <h1>Drafts of rules</h1>
      <p>
        What if a level or a deadline changes? Draft it, try it on every home, see who is affected and how, and only
        then publish it. A draft changes nothing by itself.
      </p>
      {drafts.length === 0 ? <Empty text="No change is thought of." /> : <DraftsTable drafts={drafts} />}
      <h2>Draft a change</h2>
      <ChooseRuleSet sets={sets} />
    </>
  )
}

const DraftsTable = ({ drafts }: { drafts: readonly Draft[] }): JSX.Element => (
  <Table
    caption={drafts.length === 1 ? '1 draft' : `${drafts.length} drafts, the last changed first`}
    columns={[{ words: 'Draft' }, { words: 'Would hold from' }, { words: 'By' }, { words: 'Became' }]}
    rows={drafts.map(draft => [
      <a href={paths.ruleDraft(draft.id)} safe>
        {draft.title}
      </a>,
      <DayText day={draft.effectiveFrom} />,
      <Text of={draft.by || '–'} />,
      <Text of={draft.publishedAt !== null ? 'published' : draft.voidedAt !== null ? 'given up' : 'a draft'} />,
    ])}
  />
)
