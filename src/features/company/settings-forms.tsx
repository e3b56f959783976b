import { CheckField, RadioField } from '../../web/choice-field.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type CompanyViewProps, shownIn } from './company-shown.ts'

const step = (name: string) => `${paths.company()}/${name}`

export function LogoForm(props: CompanyViewProps): JSX.Element {
  const { faults } = shownIn(props, 'logo')
  const { company, csrf } = props
  const tag = company.logoSha256?.toString('hex').slice(0, 12)
  return (
    <section>
      <h2>Logo</h2>
      {tag ? <img class="logo" src={`${step('logo')}?v=${tag}`} alt="The logo as it is printed" /> : <p>None yet.</p>}
      <Form
        action={step('logo')}
        submit="Use this logo"
        csrf={csrf}
        version={company.version}
        faults={faults}
        multipart
      >
        <Field
          name="logo"
          label="Picture"
          type="file"
          accept="image/png,image/jpeg,image/webp"
          hint="PNG, JPEG or WebP, up to 5 MB; it is made to fit 800 by 400 pixels."
          faults={faults}
        />
      </Form>
      {tag ? (
        <Form action={step('no-logo')} submit="Take the logo away" csrf={csrf} version={company.version} grave />
      ) : (
        ''
      )}
    </section>
  )
}

/** Outward act: the button says what will happen from when on. */
export const RemindersForm = ({ company, csrf }: CompanyViewProps): JSX.Element => {
  const released = company.remindersReleasedAt !== null
  return (
    <section id="reminders">
      <h2>Reminders</h2>
      <p safe>
        {released
          ? `Reminders go out by themselves, at most ${company.dailyMailCap} a day.`
          : 'Reminders are paused: what is due is reckoned and listed, but nobody is written to.'}
      </p>
      {released ? (
        ''
      ) : (
        <p>
          <a href={`${paths.outbox()}/today`}>See what would go out today, and to whom</a>
        </p>
      )}
      <Form
        action={step('reminders')}
        submit={released ? 'Pause reminders' : 'Release reminders'}
        csrf={csrf}
        version={company.version}
      >
        <input type="hidden" name="released" value={released ? 'no' : 'yes'} />
      </Form>
    </section>
  )
}

export function MailForm(props: CompanyViewProps): JSX.Element {
  const { faults, value } = shownIn(props, 'mail')
  const hour = (name: 'sendFromHour' | 'sendToHour', label: string) => (
    <Field
      name={name}
      label={label}
      value={value(name)}
      unit="o’clock at the home"
      inputmode="numeric"
      size="short"
      faults={faults}
    />
  )
  const onAcceptance = value('resultMailOnAcceptance')
  return (
    <section>
      <h2>Mails to homeowners</h2>
      <Form action={step('mails')} submit="Save" csrf={props.csrf} version={props.company.version} faults={faults}>
        <Field
          name="dailyMailCap"
          label="Reminders a day at most"
          hint="The rest waits for the next day, the longest overdue first."
          value={value('dailyMailCap')}
          inputmode="numeric"
          size="short"
          faults={faults}
        />
        {hour('sendFromHour', 'Send from')}
        {hour('sendToHour', 'Send until')}
        <CheckField
          name="resultMailOnAcceptance"
          label="Results"
          choices={[{ value: 'on', words: 'Send a result to the owner the moment it is accepted' }]}
          values={onAcceptance === 'true' || onAcceptance === 'on' ? ['on'] : []}
          faults={faults}
        />
      </Form>
    </section>
  )
}

export function CrewForm(props: CompanyViewProps): JSX.Element {
  const { faults, value } = shownIn(props, 'crew')
  return (
    <section>
      <h2>What crews see</h2>
      <p>A crew sees the homes it is assigned to, from then until some days after the visit.</p>
      <Form action={step('crews')} submit="Save" csrf={props.csrf} version={props.company.version} faults={faults}>
        <RadioField
          name="crewSees"
          label="Of such a home"
          value={value('crewSees')}
          choices={[
            { value: 'whole-home', words: 'All of it', hint: 'with names, phone numbers and mail addresses' },
            { value: 'without-contacts', words: 'All but how to reach people' },
          ]}
          faults={faults}
        />
        <Field
          name="crewDaysAfter"
          label="Days after the visit"
          value={value('crewDaysAfter')}
          inputmode="numeric"
          size="short"
          faults={faults}
        />
      </Form>
    </section>
  )
}
