import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import type { ImportBatch } from '../import-rows.ts'

/** An import that was committed or undone: what it made, and how to take it back. */
export function DoneView({ batch, zone, csrf }: { batch: ImportBatch; zone: string; csrf: string }): JSX.Element {
  const { id, fileName, summary, testId, state, version } = batch
  const at = state === 'undone' ? batch.undoneAt : batch.committedAt
  return (
    <>
      <h1 safe>{`Import ${fileName}`}</h1>
      <p>
        <span>{state === 'undone' ? 'Undone ' : 'Saved '}</span>
        {at === null ? '' : <InstantText at={at} zone={zone} />}
        <span>{summary ? `: ${summary.made} new, ${summary.same} that were there already.` : '.'}</span>
      </p>
      {testId ? (
        <p>
          <a href={paths.test(testId)}>The test it made</a>
        </p>
      ) : (
        ''
      )}
      {state === 'committed' ? (
        <Form
          action={paths.importStep(id, 'undo')}
          submit="Undo this import"
          busy="Undoing…"
          csrf={csrf}
          version={version}
          grave
        >
          <p>Everything it made is struck through and counts no more; the file stays.</p>
        </Form>
      ) : (
        ''
      )}
    </>
  )
}
