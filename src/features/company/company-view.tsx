import { SelectField } from '../../web/choice-field.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type CompanyViewProps, shownIn } from './company-shown.ts'
import { CautionForm, DurationsForm, ElectricityForm, FansForm, HoursForm, LicencesForm } from './own-things-forms.tsx'
import type { Company } from './queries.ts'
import { CrewForm, LogoForm, MailForm, RemindersForm } from './settings-forms.tsx'

/** What the company says of itself and how it wants to work. */
export const CompanyView = (props: CompanyViewProps): JSX.Element => (
  <article>
    <h1>The company</h1>
    <nav aria-label="Office">
      <ul class="inline">
        <li>
          <a href={paths.staff()}>People of the company</a>
        </li>
        <li>
          <a href={paths.credentials()}>Licences and certificates</a>
        </li>
        <li>
          <a href={paths.apps()}>Apps</a>
        </li>
        <li>
          <a href={paths.changes()}>Who did what</a>
        </li>
        <li>
          <a href={paths.everything()}>Everything on record</a>
        </li>
      </ul>
    </nav>
    <AboutForm {...props} />
    <LogoForm {...props} />
    <CautionForm {...props} />
    <LicencesForm {...props} />
    <HoursForm {...props} />
    <DurationsForm {...props} />
    <FansForm {...props} />
    <ElectricityForm {...props} />
    <RemindersForm {...props} />
    <MailForm {...props} />
    <CrewForm {...props} />
  </article>
)

const units = [
  { value: 'pCi/L', words: 'pCi/L' },
  { value: 'Bq/m3', words: 'Bq/m³' },
]

const pressureUnits = [
  { value: 'in. w.c.', words: 'inches of water (in. w.c.)' },
  { value: 'Pa', words: 'pascal (Pa)' },
]

function AboutForm(props: CompanyViewProps): JSX.Element {
  const { faults, value } = shownIn(props, 'company')
  const field = (name: keyof Company, label: string, more: { autocomplete?: string; hint?: string } = {}) => (
    <Field name={name} label={label} value={value(name)} faults={faults} {...more} />
  )
  return (
    <section>
      <h2>What mails and papers say</h2>
      <Form action={paths.company()} submit="Save" csrf={props.csrf} version={props.company.version} faults={faults}>
        {field('name', 'Name', { autocomplete: 'organization' })}
        <FieldGroup legend="Address">
          {field('street', 'Street', { autocomplete: 'street-address' })}
          {field('city', 'Town', { autocomplete: 'address-level2' })}
          {field('region', 'State or province', { autocomplete: 'address-level1' })}
          {field('postcode', 'Postcode', { autocomplete: 'postal-code' })}
          {field('country', 'Country', { autocomplete: 'country', hint: 'Two letters, such as US or CA' })}
        </FieldGroup>
        <Field
          name="letterhead"
          label="Further lines of the letterhead"
          hint="Up to five, printed under the address: a web address, a register, a tax number."
          rows={3}
          value={value('letterhead')}
          faults={faults}
        />
        <Field name="phone" label="Phone" type="tel" value={value('phone')} autocomplete="tel" faults={faults} />
        <Field
          name="replyTo"
          label="Answers to mails go to"
          type="email"
          value={value('replyTo')}
          autocomplete="email"
          faults={faults}
        />
        {field('zone', 'Time zone of the office', { hint: 'Like America/Chicago. Homes keep their own.' })}
        <SelectField
          name="defaultUnit"
          label="Unit results are entered in"
          choices={units}
          value={value('defaultUnit')}
          faults={faults}
        />
        <SelectField
          name="defaultPressureUnit"
          label="Unit gauges are read in"
          choices={pressureUnits}
          value={value('defaultPressureUnit')}
          faults={faults}
        />
      </Form>
    </section>
  )
}
