import { RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'

export type UploadProps = {
  readonly home: { readonly id: string; readonly address: string } | null
  readonly query: string
  readonly found: readonly { readonly propertyId: string; readonly street: string; readonly city: string }[]
  readonly savedReadings: readonly string[]
  readonly savedMappings: readonly string[]
  /** The company's own book is the office's to bring in. */
  readonly mayBringBook: boolean
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

/** Choosing a file: a monitor's record for a home, or a table of results for many. */
export function UploadView(props: UploadProps): JSX.Element {
  const { home, csrf, formKey, faults, savedReadings } = props
  return (
    <>
      <h1>Import a file</h1>
      <section>
        <h2>A monitor's file</h2>
        {home ? (
          <>
            <p safe>{`For ${home.address}. The file is looked at first; nothing is saved before you say so.`}</p>
            <Form
              action={paths.newImport(home.id)}
              submit="Look at the file"
              busy="Reading…"
              csrf={csrf}
              idempotencyKey={formKey}
              faults={faults}
              multipart
            >
              <input type="hidden" name="kind" value="monitor-record" />
              <input type="hidden" name="propertyId" value={home.id} />
              <Field
                name="file"
                label="File"
                type="file"
                hint="Any text export with a date, a time and a reading in each line"
                accept=".csv,.txt,.tsv,text/*"
                faults={faults}
              />
              {savedReadings.length > 0 ? (
                <SelectField
                  name="savedReading"
                  label="Read it like"
                  choices={savedReadings.map(name => ({ value: name, words: name }))}
                  empty="Find out from the file"
                  faults={faults}
                />
              ) : (
                ''
              )}
            </Form>
          </>
        ) : (
          <ChooseHome {...props} />
        )}
      </section>
      {home ? '' : <TableUpload {...props} />}
    </>
  )
}

function ChooseHome({ query, found }: UploadProps): JSX.Element {
  return (
    <form action={paths.newImport()} method="get" class="choose-home">
      <Field name="q" label="Which home was it in?" hint="Street, name, phone or tag" value={query} />
      <button type="submit" class="primary">
        Find the home
      </button>
      {query !== '' && found.length === 0 ? <p class="empty">No home answers to that.</p> : ''}
      <ul class="ruled">
        {found.map(({ propertyId, street, city }) => (
          <li>
            <a href={paths.newImport(propertyId)} safe>{`${street}, ${city}`}</a>
          </li>
        ))}
      </ul>
    </form>
  )
}

const TableUpload = ({ csrf, formKey, faults, savedMappings, mayBringBook }: UploadProps): JSX.Element => (
  <section>
    <h2>A table</h2>
    <p>It is read back to you first: you see what would happen before anything is saved, and it can be undone.</p>
    <Form
      action={paths.newImport()}
      submit="Look at the table"
      busy="Reading…"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
      multipart
      id="table"
    >
      {mayBringBook ? (
        <RadioField
          name="kind"
          label="What it holds"
          choices={[
            { value: 'results-table', words: 'Results, one a line, each with the address of its home' },
            {
              value: 'homes-table',
              words: 'Homes, as the company has kept them: owners, systems, fans, dates, last tests, notes',
            },
          ]}
          value="results-table"
          faults={faults}
        />
      ) : (
        <input type="hidden" name="kind" value="results-table" />
      )}
      <Field
        name="file"
        label="Table"
        type="file"
        hint={mayBringBook ? 'CSV or text; homes also as a workbook (.xlsx)' : 'CSV or text'}
        accept=".csv,.txt,.tsv,.xlsx,text/*"
        faults={faults}
      />
      {mayBringBook && savedMappings.length > 0 ? (
        <SelectField
          name="savedReading"
          label="Columns of homes as in"
          choices={savedMappings.map(name => ({ value: name, words: name }))}
          empty="Find out from the headers"
          faults={faults}
        />
      ) : (
        ''
      )}
    </Form>
  </section>
)
