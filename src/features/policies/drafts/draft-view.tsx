import { weekdayWords } from '../../../web/day-words.ts'
import type { FieldFault } from '../../../web/error-summary.tsx'
import { Field } from '../../../web/field.tsx'
import { Form } from '../../../web/form.tsx'
import { paths } from '../../../web/paths.ts'
import { Table, Text } from '../../../web/table.tsx'
import { DayText, InstantText } from '../../../web/when-text.tsx'
import type { ChangedLine } from './changed-lines.ts'
import { differenceWords } from './difference-words.ts'
import type { Draft } from './draft-queries.ts'
import type { Kind, ListedHome, Trial } from './trial-queries.ts'

export type DraftViewProps = {
  readonly draft: Draft
  readonly lines: readonly ChangedLine[]
  readonly trial: Trial | null
  /** Whether the trial tells of this draft as it is, under the rules as they are. */
  readonly holds: boolean
  readonly homes: readonly ListedHome[]
  readonly kind: Kind
  readonly next: string | null
  readonly restanding: { readonly total: number; readonly waiting: number }
  readonly zone: string
  readonly faults: readonly FieldFault[]
  readonly csrf: string
}

/** A draft: what it changes in the rules, what it would change at which homes, and how it comes into force. */
export function DraftView(props: DraftViewProps): JSX.Element {
  const { draft, lines } = props
  const open = draft.publishedAt === null && draft.voidedAt === null
  return (
    <>
      <h1 safe>{draft.title}</h1>
      <p>
        {'A draft of a change that would hold from '}
        <DayText day={draft.effectiveFrom} />
        <span safe>{draft.by ? `, by ${draft.by}.` : '.'}</span> {draft.reason ? <em safe>{draft.reason}</em> : ''}
      </p>
      {open ? '' : <Closed {...props} />}
      <Table
        caption="What the rules would say"
        columns={[
          { words: 'Rule' },
          { words: 'Now' },
          { words: 'In the draft' },
          { words: 'Stands in' },
          { words: 'Status' },
        ]}
        rows={lines.map(line => [
          <Text of={line.name} />,
          <Text of={line.before ?? '–'} />,
          <Text of={line.after ?? 'not said any more'} />,
          <Text of={line.clause} />,
          <span class={line.status}>{line.status}</span>,
        ])}
      />
      {open ? (
        <p>
          <a href={paths.ruleDraftStep(draft.id, 'change')}>Change the draft</a>
        </p>
      ) : (
        ''
      )}
      <TrialSection {...props} open={open} />
      {open ? <DropForm {...props} /> : ''}
    </>
  )
}

function Closed({ draft, restanding: { total, waiting } }: DraftViewProps): JSX.Element {
  if (draft.voidedAt !== null) return <p class="notice">This draft was given up.</p>
  return (
    <section class="notice" aria-live="polite">
      <p>
        {'Published. '}
        <a href={paths.rule(draft.code, draft.effectiveFrom)}>See the rule set</a>
      </p>
      {waiting > 0 ? (
        <>
          <progress value={String(total - waiting)} max={String(total)} aria-label="Homes stood anew" />
          <p safe>{`${total - waiting} of ${total} homes stand anew; this goes on by itself, also after a restart.`}</p>
        </>
      ) : (
        <p safe>{`All ${total} homes stand by it. Nobody is reminded because of it whose duties did not change.`}</p>
      )}
    </section>
  )
}

function TrialSection(props: DraftViewProps & { open: boolean }): JSX.Element {
  const { trial, holds, open, draft } = props
  return (
    <section>
      <h2>What it would change</h2>
      {trial === null ? (
        <p>It was not tried yet. Trying changes nothing: every home is reckoned twice and the two are compared.</p>
      ) : (
        <TrialState {...props} trial={trial} />
      )}
      {open && (!trial || !holds || trial.state === 'overtaken') ? (
        <Act {...props} step="try" words="Try it on every home" />
      ) : (
        ''
      )}
      {open && holds && trial?.state === 'running' ? <Act {...props} step="stop" words="Stop" /> : ''}
      {open && holds && trial?.state === 'stopped' ? <Act {...props} step="go-on" words="Go on" /> : ''}
      {trial && trial.changed > 0 ? <Homes {...props} trial={trial} /> : ''}
      {open && holds && trial?.state === 'finished' ? (
        <>
          <p safe>{publishWords(draft, trial)}</p>
          <Act {...props} step="publish" words="Publish it" grave />
        </>
      ) : (
        ''
      )}
    </section>
  )
}

const publishWords = ({ effectiveFrom }: Draft, { changed }: Trial): string =>
  `Publishing can not be taken back: a version never changes, only a later one replaces it. It holds from ${weekdayWords(effectiveFrom)}; ${homesWords(changed)} will stand otherwise then.`

const homesWords = (count: number) => `${count} ${count === 1 ? 'home' : 'homes'}`

function TrialState({ trial, holds, zone }: DraftViewProps & { trial: Trial }): JSX.Element {
  const { done, total, state } = trial
  const words = {
    running: `${done} of ${total} homes looked at so far.`,
    stopped: `Stopped after ${done} of ${total} homes; it goes on from there.`,
    finished: `All ${homesWords(done)} were looked at.`,
    overtaken: `Given up after ${done} of ${total} homes: the rules or the draft changed meanwhile.`,
  }
  return (
    <div aria-live="polite">
      {state === 'finished' ? (
        ''
      ) : (
        <progress value={String(done)} max={String(Math.max(total, 1))} aria-label="Homes looked at" />
      )}
      <p>
        <span safe>{`${words[state]} Begun `}</span>
        <InstantText at={trial.begunAt} zone={zone} />.
      </p>
      {holds ? '' : <p class="notice">The rules or this draft changed since: try it again before you rely on it.</p>}
      <p safe>{foundWords(trial)}</p>
    </div>
  )
}

function foundWords({ changed, verdicts, duties, deadlines }: Trial): string {
  if (changed === 0) return 'No home would stand otherwise.'
  return `${homesWords(changed)} would stand otherwise: ${verdicts} by another verdict, ${duties} by owing more or less, ${deadlines} by another day.`
}

const kindWords: Readonly<Record<Kind, string>> = {
  '': 'All of them',
  verdict: 'Another verdict',
  duty: 'More or less owed',
  deadline: 'Due on another day',
}

function Homes({ draft, trial, homes, kind, next }: DraftViewProps & { trial: Trial }): JSX.Element {
  const counts: Record<Kind, number> = {
    '': trial.changed,
    verdict: trial.verdicts,
    duty: trial.duties,
    deadline: trial.deadlines,
  }
  return (
    <>
      <nav aria-label="Which homes">
        <ul class="inline">
          {(Object.keys(kindWords) as Kind[]).map(one => (
            <li>
              <a href={paths.ruleDraft(draft.id, { kind: one })} aria-current={one === kind ? 'page' : undefined} safe>
                {`${kindWords[one]} (${counts[one]})`}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      <Table
        caption="Homes that would stand otherwise"
        columns={[{ words: 'Home' }, { words: 'What would change' }, { words: 'Workings' }]}
        rows={homes.map(({ propertyId, street, city, region, difference }) => [
          <a href={paths.home(propertyId)} safe>
            {[street, city, region].filter(part => part !== '').join(', ')}
          </a>,
          <ul>
            {differenceWords(difference).map(words => (
              <li safe>{words}</li>
            ))}
          </ul>,
          <a href={paths.ruleDraftHome(draft.id, propertyId)}>Both workings</a>,
        ])}
      />
      {next ? (
        <p>
          <a href={next}>Further homes</a>
        </p>
      ) : (
        ''
      )}
      <p>
        <a href={paths.ruleDraftStep(draft.id, 'homes.csv')} download="">
          Take the list as a table (CSV)
        </a>
      </p>
    </>
  )
}

const Act = ({
  draft,
  csrf,
  step,
  words,
  grave,
}: DraftViewProps & { step: string; words: string; grave?: boolean }) => (
  <Form
    action={paths.ruleDraftStep(draft.id, step)}
    submit={words}
    csrf={csrf}
    version={draft.version}
    grave={grave}
  ></Form>
)

const DropForm = ({ draft, csrf, faults }: DraftViewProps): JSX.Element => (
  <details open={faults.length > 0}>
    <summary>Give the draft up</summary>
    <Form
      action={paths.ruleDraftStep(draft.id, 'drop')}
      submit="Give it up"
      csrf={csrf}
      version={draft.version}
      faults={faults}
      grave
    >
      <Field name="drop-reason" label="Why" size="long" faults={faults} />
    </Form>
  </details>
)
