import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'

/** A note or a photo, one tap from the home; it is kept by the notes' own page. */
export const NoteForm = ({ homeId, csrf, formKey }: { homeId: string; csrf: string; formKey: string }): JSX.Element => (
  <section id="note" class="on-screen">
    <h2>Note or photo</h2>
    <Form
      action={paths.homeNotes(homeId)}
      submit="Keep"
      busy="Keeping…"
      csrf={csrf}
      idempotencyKey={formKey}
      multipart
      draft={`note-${homeId}`}
    >
      <Field name="text" label="Note" rows={3} maxlength={10_000} />
      <Field name="photo" label="Photo" type="file" accept="image/jpeg,image/png,image/webp" capture="environment" />
    </Form>
  </section>
)
