import type { LocalDay } from '../domain/facts.ts'
import { correctionWords } from '../web/correction-words.ts'
import { ErrorSummary, type FieldFault } from '../web/error-summary.tsx'
import { Field } from '../web/field.tsx'
import { Form } from '../web/form.tsx'
import { List } from '../web/list.tsx'
import { paths } from '../web/paths.ts'
import { InstantText } from '../web/when-text.tsx'
import { ChangesTable, ToldList } from './changes-view.tsx'
import type { Correction } from './correction-rows.ts'

export type When = { readonly zone: string; readonly today: LocalDay }
type One = When & { readonly correction: Correction }

/** What was put right, struck through where it was undone, with who, when and why. */
export function CorrectionLine({ correction, zone, today }: One): JSX.Element {
  const title = correctionWords(correction)
  return (
    <>
      <p>
        <a href={paths.correction(correction.id)}>
          {correction.undoneAt === null ? <span safe>{title}</span> : <del safe>{title}</del>}
        </a>
      </p>
      <p>
        <InstantText at={correction.madeAt} zone={zone} today={today} />
        <span safe>{`${byWords(correction.actorName)}, because: ${correction.reason}`}</span>
      </p>
      <Undone {...{ correction, zone, today }} />
    </>
  )
}

const byWords = (name: string | null) => (name ? ` by ${name}` : '')

const Undone = ({ correction, zone, today }: One): JSX.Element =>
  correction.undoneAt === null ? (
    ''
  ) : (
    <p>
      {'Undone '}
      <InstantText at={correction.undoneAt} zone={zone} today={today} />
      <span safe>{`${byWords(correction.undoneByName)}, because: ${correction.undoReason ?? ''}`}</span>
    </p>
  )

/** All corrections, newest first. */
export const CorrectionsList = (
  props: When & { readonly corrections: readonly Correction[]; readonly next: string | null },
): JSX.Element => (
  <>
    <h1>What was put right</h1>
    <List
      title="Corrections"
      order="newest first"
      count={props.corrections.length}
      noun={['correction', 'corrections']}
      items={props.corrections.map(correction => (
        <CorrectionLine {...{ correction, zone: props.zone, today: props.today }} />
      ))}
      empty={{
        text: 'Nothing was put right yet. What is moved, voided, merged or read again from the page of its record stands here, and can be undone here.',
      }}
      next={props.next}
    />
  </>
)

type ViewProps = One & {
  readonly csrf: string
  readonly reason: string
  readonly faults: readonly FieldFault[]
  /** What hangs on it since, where it could not be undone. */
  readonly hanging: readonly string[]
}

/** One correction: what it changed, and the form that undoes it. */
export function CorrectionView(props: ViewProps): JSX.Element {
  const { correction, zone, today, hanging } = props
  const title = correctionWords(correction)
  return (
    <>
      <h1>{correction.undoneAt === null ? <span safe>{title}</span> : <del safe>{title}</del>}</h1>
      <p>
        <InstantText at={correction.madeAt} zone={zone} today={today} />
        <span safe>{byWords(correction.actorName)}</span>
      </p>
      <p safe>{`Reason: ${correction.reason}`}</p>
      <Undone {...{ correction, zone, today }} />
      {hanging.length > 0 ? <ErrorSummary faults={hanging.map(message => ({ name: '', message }))} /> : ''}
      <ChangesTable title="Each home, before and after" homes={correction.standings} today={today} />
      <ToldList told={correction.told} />
      <p>
        <a href={paths.corrections()}>All corrections</a>
      </p>
      {correction.undoneAt === null ? <UndoForm {...props} /> : ''}
    </>
  )
}

const UndoForm = ({ correction, csrf, reason, faults }: ViewProps): JSX.Element => (
  <section>
    <h2>Undo it</h2>
    <p>Everything goes back to where it was. You see first what that changes.</p>
    <Form action={paths.undoCorrection(correction.id)} submit="See what undoing changes" csrf={csrf} faults={faults}>
      <Field name="reason" label="Why it is undone" value={reason} maxlength={500} faults={faults} required />
    </Form>
  </section>
)
