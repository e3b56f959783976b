import { ErrorSummary } from '../../web/error-summary.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import type { HomesProposed } from '../homes-table/propose-homes.ts'
import { DoublesView } from './doubles-view.tsx'
import { FaultTable } from './fault-table.tsx'
import { HOME_ROLE_WORDS } from './home-role-words.ts'
import { HomesDryRunView } from './homes-dry-run-view.tsx'
import type { HomesImportProps } from './homes-import-props.ts'
import { TellHomes } from './tell-homes.tsx'

/** An old table of homes read back: a sentence, what is asked, column by column; then doubles and what a commit would do. */
export function HomesImportView(props: HomesImportProps): JSX.Element {
  const { proposed, fileName, dryRun, failure, faults } = props
  return (
    <>
      <h1 safe>{`Import ${fileName}`}</h1>
      <ErrorSummary faults={faults} />
      {failure === '' ? '' : <p class="notice" safe>{`It was not saved: ${failure}`}</p>}
      {proposed.ok ? (
        <>
          <p class="read-back" safe>
            {sentenceOf(proposed)}
          </p>
          {proposed.hints.map(hint => (
            <p class="hint" safe>
              {hint}
            </p>
          ))}
          {proposed.questions.length > 0 ? (
            <p class="empty">Nothing is saved yet. What is asked below must be answered first.</p>
          ) : (
            ''
          )}
          {dryRun ? <DoublesView {...props} doubles={dryRun.doubles} undecided={dryRun.counts.undecided} /> : ''}
          {dryRun ? <HomesDryRunView {...props} dryRun={dryRun} reading={proposed.reading} /> : ''}
          <TellHomes {...props} proposed={proposed} />
        </>
      ) : (
        <>
          <FaultTable faults={proposed.faults} count={proposed.faults.length} />
          <p>
            <a href={paths.newImport()}>Choose another file</a>
          </p>
        </>
      )}
    </>
  )
}

/** `I read this as 912 rows of homes, headers in row 3: the owner from “Customer”, the street from “Address” …` */
function sentenceOf({ sheets, rows }: Extract<HomesProposed, { ok: true }>): string {
  const read = sheets.filter(sheet => sheet.read)
  const named = read.flatMap(({ columns }) => columns.filter(({ role }) => role !== 'ignored' && role !== 'note'))
  const notes = read.flatMap(({ columns }) => columns.filter(({ role }) => role === 'note'))
  const parts = named.map(({ role, name, index }) => `${HOME_ROLE_WORDS[role]} from “${name || `column ${index + 1}`}”`)
  const kept =
    notes.length === 0
      ? ''
      : ` ${list(notes.map(({ name }) => `“${name}”`))} ${notes.length === 1 ? 'is' : 'are'} kept as notes.`
  const where = read
    .map(({ name, headerLine }) => `${name === '' ? '' : `sheet ${name}, `}headers in row ${headerLine}`)
    .join('; ')
  return `I read this as ${rows} rows of homes (${where}): ${parts.join(', ')}.${kept}`
}
const list = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`

/** An import of homes while it is being written: how far it is, and a way to stop it. */
export function HomesProgressView({
  id,
  fileName,
  csrf,
  version,
  progress,
  stuck,
}: Pick<HomesImportProps, 'id' | 'fileName' | 'csrf' | 'version'> & {
  readonly progress: { readonly done: number; readonly total: number } | null
  /** Nothing has moved for a while: it can be begun again. */
  readonly stuck: boolean
}): JSX.Element {
  const { done, total } = progress ?? { done: 0, total: 0 }
  return (
    <>
      <h1 safe>{`Import ${fileName}`}</h1>
      <p aria-live="polite" safe>
        {total === 0
          ? 'It is being read once more…'
          : `${done} of ${total} homes are written. Nothing counts before all are.`}
      </p>
      {total === 0 ? '' : <progress value={String(done)} max={String(total)} aria-label="Homes written" />}
      <p>This page looks again every two seconds. You can leave it; the work goes on.</p>
      {stuck ? (
        <Form action={paths.importStep(id, 'resume')} submit="Begin it again" csrf={csrf} version={version}>
          <p>
            Nothing has moved for a while. Where its writer is gone it is begun again by itself within a minute or two;
            what had been written is gone.
          </p>
        </Form>
      ) : (
        ''
      )}
      <Form action={paths.importStep(id, 'stop')} submit="Stop, and save nothing" csrf={csrf} version={version} grave />
    </>
  )
}
