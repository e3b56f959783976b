import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'

type NotePageProps = {
  readonly homeId: string
  readonly text: string
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

/** The form of a note on a page of its own, where it comes back with faults. */
export const NotePage = ({ homeId, text, faults, csrf, formKey }: NotePageProps): JSX.Element => (
  <>
    <h1>Note or photo</h1>
    <Form
      action={paths.homeNotes(homeId)}
      submit="Keep"
      busy="Keeping…"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
      multipart
      draft={`note-${homeId}`}
      cancel={{ href: paths.home(homeId) }}
    >
      <Field name="text" label="Note" value={text} rows={4} maxlength={10_000} faults={faults} />
      <Field
        name="photo"
        label="Photo"
        type="file"
        accept="image/jpeg,image/png,image/webp"
        capture="environment"
        faults={faults}
      />
    </Form>
  </>
)
