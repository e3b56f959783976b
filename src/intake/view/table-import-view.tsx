import { SelectField } from '../../web/choice-field.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import type { TableProposed } from '../results-table/propose-table.ts'
import { TABLE_ROLES, type TableReading } from '../results-table/table-reading.ts'
import type { TableDryRun } from '../try-table.ts'
import { FaultTable, FirstRows, RowFaultTable } from './fault-table.tsx'
import { METHODS, PURPOSES, ROLE_WORDS } from './table-words.ts'

export type TableImportProps = {
  readonly id: string
  readonly version: number
  readonly fileName: string
  readonly csrf: string
  readonly formKey: string
  readonly proposed: TableProposed
  readonly dryRun: TableDryRun | null
  readonly alreadySaid: string | null
}

/** A table of results read back: what holds for all rows, what each column holds, then what a commit would do. */
export function TableImportView(props: TableImportProps): JSX.Element {
  const { proposed, fileName, dryRun } = props
  return (
    <>
      <h1 safe>{`Import ${fileName}`}</h1>
      {proposed.ok ? (
        <>
          <p class="read-back" safe>
            {sentenceOf(proposed.reading, proposed.rows)}
          </p>
          <TellTable {...props} reading={proposed.reading} questions={proposed.questions.map(({ text }) => text)} />
          {dryRun ? <DryRun {...props} dryRun={dryRun} /> : ''}
          <FirstRows names={proposed.reading.columns.map(({ name }) => name)} preview={proposed.preview} />
        </>
      ) : (
        <FaultTable faults={proposed.faults} count={proposed.faults.length} />
      )}
    </>
  )
}

/** `I read this as 12 results in pCi/L: the home from “Address” and “City”, the result from “Radon”.` */
function sentenceOf(reading: TableReading, rows: number): string {
  const named = reading.columns.filter(({ role }) => role !== 'ignored')
  const parts = named.map(({ role, name, index }) => `${ROLE_WORDS[role]} from “${name || `column ${index + 1}`}”`)
  const unit = reading.constants.unit === null ? '' : ` in ${reading.constants.unit.replace('m3', 'm³')}`
  return `I read this as ${rows} results${unit}: ${parts.join(', ')}.`
}

function TellTable({
  id,
  version,
  csrf,
  reading,
  questions,
}: TableImportProps & { reading: TableReading; questions: readonly string[] }): JSX.Element {
  const { constants } = reading
  return (
    <Form action={paths.importStep(id, 'tell')} submit="Read it so" busy="Reading…" csrf={csrf} version={version}>
      {questions.length > 0 ? (
        <ul class="questions">
          {questions.map(text => (
            <li safe>{text}</li>
          ))}
        </ul>
      ) : (
        ''
      )}
      <FieldGroup legend="What holds for every row that does not say otherwise">
        <SelectField name="method" label="Method" choices={METHODS} value={constants.method} empty="Each row says it" />
        <SelectField
          name="purpose"
          label="Purpose"
          choices={PURPOSES}
          value={constants.purpose}
          empty="Each row says it"
        />
        <SelectField
          name="unit"
          label="Unit"
          choices={[
            { value: 'pCi/L', words: 'pCi/L' },
            { value: 'Bq/m3', words: 'Bq/m³' },
          ]}
          value={constants.unit}
          empty="Each row says it"
        />
        <SelectField
          name="dateOrder"
          label="Dates are written"
          choices={[
            { value: 'mdy', words: 'month first: 11/3/2025' },
            { value: 'dmy', words: 'day first: 3/11/2025' },
            { value: 'ymd', words: 'year first: 2025-11-03' },
          ]}
          value={reading.dateOrder}
          empty="The dates show it"
        />
        <Field
          name="start"
          label="Start of the tests"
          hint="Like 2025-11-03T12:00, on each home's clock"
          value={constants.start}
          size="medium"
          optional
        />
        <Field
          name="stop"
          label="End of the tests"
          hint="Like 2025-11-05T12:00"
          value={constants.stop}
          size="medium"
          optional
        />
        <Field name="city" label="Town" value={constants.city} size="medium" optional />
        <Field name="region" label="State or province" value={constants.region} size="short" optional />
        <Field
          name="country"
          label="Country"
          hint="Two letters, like US"
          value={constants.country}
          size="short"
          maxlength={2}
        />
        <SelectField
          name="unknownHomes"
          label="A home that is not on record"
          choices={[
            { value: 'refuse', words: 'is a bad row' },
            { value: 'take-up', words: 'is taken up' },
          ]}
          value={reading.unknownHomes}
        />
      </FieldGroup>
      <details>
        <summary>What each column holds</summary>
        {reading.columns.map(({ index, name, role }) => (
          <SelectField
            name={`column-${index}`}
            label={name || `Column ${index + 1}`}
            choices={TABLE_ROLES.map(value => ({ value, words: ROLE_WORDS[value] }))}
            value={role}
          />
        ))}
      </details>
    </Form>
  )
}

function DryRun({ id, csrf, formKey, dryRun, alreadySaid }: TableImportProps & { dryRun: TableDryRun }): JSX.Element {
  const { fresh, same, bad, homesToTakeUp, kitsAnswered, faults } = dryRun
  return (
    <section>
      <h2>What would happen</h2>
      <p
        safe
      >{`${fresh} new, ${same} already there, ${bad} bad${homesToTakeUp > 0 ? `; ${homesToTakeUp} ${homesToTakeUp === 1 ? 'home' : 'homes'} would be taken up` : ''}${kitsAnswered > 0 ? `; ${kitsAnswered} ${kitsAnswered === 1 ? 'kit' : 'kits'} that waited would have their answer` : ''}.`}</p>
      {bad > 0 ? <RowFaultTable faults={faults} /> : ''}
      {bad > 0 ? (
        <p>
          <a href={paths.importStep(id, 'bad-rows')}>The bad rows as a table, each with its reason</a>
        </p>
      ) : (
        ''
      )}
      {bad === 0 && fresh > 0 ? (
        <Form
          action={paths.importStep(id, 'commit')}
          submit={`Save ${fresh} results`}
          busy="Saving…"
          csrf={csrf}
          idempotencyKey={formKey}
        >
          {alreadySaid === null ? '' : <p class="hint" safe>{`${alreadySaid} Only what is new would be saved.`}</p>}
          <input type="hidden" name="again" value={alreadySaid === null ? 'no' : 'yes'} />
        </Form>
      ) : (
        ''
      )}
    </section>
  )
}
