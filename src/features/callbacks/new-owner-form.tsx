import { SelectField } from '../../web/choice-field.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'

type Props = { readonly homeId: string; readonly csrf: string; readonly formKey: string; readonly open: boolean }

/** A new owner in one step: sent to the page of the people around the home, which also says what is wrong with it. */
export const NewOwnerForm = ({ homeId, csrf, formKey, open }: Props): JSX.Element => (
  <details id="new-owner" open={open}>
    <summary>A new owner</summary>
    <p class="small">
      From that day on reminders go to the new owner; links mailed to the old one stop opening. The sale is kept in the
      history.
    </p>
    <Form
      action={`${paths.homePeople(homeId)}/owner`}
      submit="Change the owner"
      csrf={csrf}
      idempotencyKey={formKey}
      draft={`owner-${homeId}`}
    >
      <input type="hidden" name="owner-back" value="phone" />
      <Field name="owner-name" label="Name" autocomplete="off" maxlength={200} />
      <Field name="owner-phone" label="Phone" type="tel" autocomplete="off" size="medium" optional />
      <Field name="owner-email" label="E-mail" type="email" autocomplete="off" optional />
      <DateField name="owner-onDay" label="Owner from" hint="Like 12 May 2026; today when left empty" />
      <SelectField
        name="owner-because"
        label="Because of"
        value="sale"
        choices={[
          { value: 'sale', words: 'a sale' },
          { value: 'inheritance', words: 'an inheritance' },
          { value: 'gift', words: 'a gift' },
          { value: 'unknown', words: 'not known' },
        ]}
      />
    </Form>
  </details>
)
