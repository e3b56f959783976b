import { SelectField } from '../../web/choice-field.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { HOME_ROLES } from '../homes-table/homes-reading.ts'
import type { HomesProposed, SheetRead } from '../homes-table/propose-homes.ts'
import { HOME_ROLE_WORDS } from './home-role-words.ts'
import type { HomesImportProps } from './homes-import-props.ts'

type Props = HomesImportProps & { readonly proposed: Extract<HomesProposed, { ok: true }> }
const ROLES = HOME_ROLES.map(value => ({ value, words: HOME_ROLE_WORDS[value] }))

/** What each column holds with three of its cells, and what holds for all rows: every guess can be put right. */
export function TellHomes({ id, version, csrf, proposed }: Props): JSX.Element {
  const { reading, questions, sheets } = proposed
  return (
    <Form
      id="form-reading"
      action={paths.importStep(id, 'tell')}
      submit="Read it so"
      busy="Reading…"
      csrf={csrf}
      version={version}
    >
      <input type="hidden" name="part" value="reading" />
      {questions.length > 0 ? (
        <ul class="questions">
          {questions.map(({ text }) => (
            <li safe>{text}</li>
          ))}
        </ul>
      ) : (
        ''
      )}
      {asked
        .filter(({ parts }) => parts.some(part => questions.some(question => question.part === part)))
        .map(({ field }) => field(reading))}
      {sheets.map(sheet => (
        <SheetColumns sheet={sheet} of={sheets.length} />
      ))}
      <details>
        <summary>What holds for every row that does not say otherwise</summary>
        {asked
          .filter(({ parts }) => !parts.some(part => questions.some(question => question.part === part)))
          .map(({ field }) => field(reading))}
        <Constants reading={reading} />
      </details>
    </Form>
  )
}

type Reading = Props['proposed']['reading']
/** Fields that answer questions stand in sight while they are asked. */
const asked: readonly { readonly parts: readonly string[]; readonly field: (reading: Reading) => JSX.Element }[] = [
  {
    parts: ['dateOrder'],
    field: ({ dateOrder }) => (
      <SelectField
        name="dateOrder"
        label="Dates are written"
        choices={[
          { value: 'mdy', words: 'month first: 11/3/2025' },
          { value: 'dmy', words: 'day first: 3/11/2025' },
          { value: 'ymd', words: 'year first: 2025-11-03' },
        ]}
        value={dateOrder}
        empty="The dates show it"
      />
    ),
  },
  {
    parts: ['decimalMark'],
    field: ({ decimalMark }) => (
      <SelectField
        name="decimalMark"
        label="Decimals are marked by"
        choices={[
          { value: '.', words: 'a point: 3.8' },
          { value: ',', words: 'a comma: 3,8' },
        ]}
        value={decimalMark}
        empty="The numbers show it"
      />
    ),
  },
  {
    parts: ['radonUnit'],
    field: ({ constants }) => (
      <SelectField
        name="radonUnit"
        label="Radon results are in"
        choices={[
          { value: 'pCi/L', words: 'pCi/L' },
          { value: 'Bq/m3', words: 'Bq/m³' },
        ]}
        value={constants.radonUnit}
        empty="Each row says it"
      />
    ),
  },
  {
    parts: ['gaugeUnit'],
    field: ({ constants }) => (
      <SelectField
        name="gaugeUnit"
        label="Gauges are read in"
        choices={[
          { value: 'in. w.c.', words: 'inches of water' },
          { value: 'Pa', words: 'pascals' },
        ]}
        value={constants.gaugeUnit}
        empty="Each row says it"
      />
    ),
  },
  {
    parts: ['city'],
    field: ({ constants }) => <Field name="city" label="Town" value={constants.city} size="medium" optional />,
  },
]

function SheetColumns({ sheet, of }: { sheet: SheetRead; of: number }): JSX.Element {
  const { index, name, rows, read, columns } = sheet
  const told = columns.filter(column => column.examples.length > 0 || column.role !== 'ignored')
  // What is read is said in the sentence above; what is not needs a look.
  const [open, settled] = [told.filter(({ role }) => role === 'ignored'), told.filter(({ role }) => role !== 'ignored')]
  const legend = of > 1 ? `Sheet ${name}, ${rows} rows` : 'Column by column'
  return (
    <FieldGroup legend={legend}>
      {of > 1 ? (
        <SelectField
          name={`sheet-${index}`}
          label="This sheet"
          choices={[
            { value: 'yes', words: 'is read' },
            { value: 'no', words: 'is left out' },
          ]}
          value={read ? 'yes' : 'no'}
        />
      ) : (
        ''
      )}
      {open.map(column => (
        <ColumnField sheet={index} column={column} />
      ))}
      {settled.length === 0 ? (
        ''
      ) : (
        <details>
          <summary safe>
            {settled.length === 1
              ? '1 column that is read'
              : `The ${settled.length} columns that are read, each as what`}
          </summary>
          {settled.map(column => (
            <ColumnField sheet={index} column={column} />
          ))}
        </details>
      )}
    </FieldGroup>
  )
}

type Column = SheetRead['columns'][number]

const ColumnField = ({ sheet, column }: { sheet: number; column: Column }): JSX.Element => (
  <SelectField
    name={`column-${sheet}-${column.index}`}
    label={column.name || `Column ${column.index + 1}`}
    hint={column.examples.length === 0 ? 'All its cells are empty' : `Such as ${column.examples.join(' · ')}`}
    choices={ROLES}
    value={column.role}
  />
)

const Constants = ({ reading: { constants } }: { reading: Reading }): JSX.Element => (
  <>
    <Field name="region" label="State or province" value={constants.region} size="short" optional />
    <Field
      name="country"
      label="Country"
      hint="Two letters, like US"
      value={constants.country}
      size="short"
      maxlength={2}
    />
    <Field
      name="zone"
      label="Time zone where the address does not tell it"
      hint="Like America/Chicago; left empty it is the company’s"
      value={constants.zone}
      size="medium"
      optional
    />
    <SelectField
      name="installedBy"
      label="Systems were put in by"
      choices={[
        { value: 'unknown', words: 'it is not known, unless a column says it' },
        { value: 'us', words: 'us' },
        { value: 'another', words: 'another company' },
        { value: 'builder', words: 'the builder' },
        { value: 'owner', words: 'the owner' },
      ]}
      value={constants.installedBy}
    />
  </>
)
