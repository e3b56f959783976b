import { RadioField } from '../../web/choice-field.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import type { HomesCounts } from '../homes-table/home-counts.ts'
import type { HomesReading } from '../homes-table/homes-reading.ts'
import type { HomesLook } from '../homes-table/kept-look.ts'
import { RemarkTable, RowFaultTable } from './fault-table.tsx'
import type { HomesImportProps } from './homes-import-props.ts'

type Props = HomesImportProps & { readonly dryRun: HomesLook; readonly reading: HomesReading }

const homes = (n: number): string => `${n} ${n === 1 ? 'home' : 'homes'}`
const some = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`

/** What a commit would do, what holds it up, and the button that does it. */
export function HomesDryRunView(props: Props): JSX.Element {
  const { id, dryRun, reading } = props
  const { counts, faults, faultCells, remarks } = dryRun
  return (
    <section id="dry-run">
      <h2>What would happen</h2>
      <ul class="ruled">
        {sentencesOf(dryRun).map(text => (
          <li safe>{text}</li>
        ))}
      </ul>
      {counts.bad > 0 ? (
        <>
          <RowFaultTable faults={faults} count={faultCells} />
          <p>
            <a href={paths.importStep(id, 'bad-rows')}>The bad rows as a table, each with its reason</a>
          </p>
          <BadRows {...props} />
        </>
      ) : (
        ''
      )}
      {remarks.length > 0 ? (
        <details>
          <summary safe>{`${some(counts.remarks, 'cell')} not understood, kept as notes`}</summary>
          <RemarkTable remarks={remarks} />
        </details>
      ) : (
        ''
      )}
      <Save {...props} ready={counts.undecided === 0 && (counts.bad === 0 || reading.badRows === 'leave-out')} />
    </section>
  )
}

/** The counts in sentences; what is nothing is not said. */
function sentencesOf({ counts, skipped, dittos }: HomesLook): string[] {
  const { fresh, added, filled, same, joinedRows, bad, undecided, zonesAssumed } = counts
  const rows = skipped.map(({ sheet, line }) => (sheet === '' ? String(line) : `${line} of ${sheet}`))
  return [
    `${homes(fresh)} would be taken up, with ${partsOf(counts)}.`,
    added > 0 ? `To ${homes(added)} on record something would be added; nothing there is overwritten.` : '',
    filled > 0 ? `Of ${homes(filled)} of these the year built or the foundation is not known: it is filled in.` : '',
    same > 0 ? `${homes(same)} on record know all of it already.` : '',
    joinedRows > 0 ? `${some(joinedRows, 'row')} have the very address of another row: they are read as one home.` : '',
    counts.skippedRows > 0
      ? `${some(counts.skippedRows, 'row')} are no homes (totals, headings) and are passed over: ${rows.slice(0, 10).join(', ')}${rows.length > 10 ? ' and more' : ''}.`
      : '',
    dittos > 0 ? `${some(dittos, 'ditto mark')} say what stands above them.` : '',
    zonesAssumed > 0
      ? `Of ${homes(zonesAssumed)} the address does not tell the time zone: the company’s is assumed, and noted as that.`
      : '',
    'People of one name with one phone number or mail address are one person; all others stay apart.',
    undecided > 0 ? `${some(undecided, 'pair')} may be one home: say so above first.` : '',
    bad > 0 ? `${some(bad, 'row')} cannot be read.` : '',
  ].filter(text => text !== '')
}

const partsOf = ({ people, systems, tests, notes }: HomesCounts): string =>
  [some(people, 'person', 'people'), some(systems, 'system'), some(tests, 'test'), some(notes, 'note')].join(', ')

const BadRows = ({ id, version, csrf, reading }: Props): JSX.Element => (
  <Form id="form-bad-rows" action={paths.importStep(id, 'tell')} submit="Do so" csrf={csrf} version={version}>
    <input type="hidden" name="part" value="bad-rows" />
    <RadioField
      name="badRows"
      label="The bad rows"
      choices={[
        { value: 'refuse', words: 'hold up the others until they are corrected' },
        { value: 'leave-out', words: 'are left out; I import them corrected later' },
      ]}
      value={reading.badRows}
    />
  </Form>
)

function Save({ id, csrf, formKey, dryRun, alreadySaid, ready }: Props & { ready: boolean }): JSX.Element {
  const { fresh, added } = dryRun.counts
  if (fresh + added === 0 && ready)
    return <p class="empty">Everything in this table is on record: there is nothing to save.</p>
  if (!ready) return <p class="empty">Nothing is saved yet. It can be saved once what is said above is settled.</p>
  return (
    <Form
      id="form-save"
      action={paths.importStep(id, 'commit')}
      submit={`Save ${homes(fresh + added)}`}
      busy="Beginning…"
      csrf={csrf}
      idempotencyKey={formKey}
    >
      {alreadySaid === null ? '' : <p class="hint" safe>{`${alreadySaid} Only what is new would be saved.`}</p>}
      <input type="hidden" name="again" value={alreadySaid === null ? 'no' : 'yes'} />
      <p>
        The table is held against the record once more before anything is saved. Reminders of these homes are held until
        you have looked at what would go out and released them.
      </p>
      <Field name="save-as" label="Keep what the columns hold under a name" size="medium" optional />
    </Form>
  )
}
