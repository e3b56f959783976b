import { cautionWords } from '../../web/caution.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { spansText } from '../../web/read-typed-spans.ts'
import { type CompanyViewProps, shownIn } from './company-shown.ts'
import type { Company } from './queries.ts'
import { weekdays } from './working-schemas.ts'

const step = (name: string) => `${paths.company()}/${name}`

export function CautionForm(props: CompanyViewProps): JSX.Element {
  const { faults, value } = shownIn(props, 'caution')
  return (
    <section id="caution">
      <h2>The caution</h2>
      <p>These words stand wherever a result is shown, and stay:</p>
      <blockquote>{cautionWords as 'safe'}</blockquote>
      <Form action={step('caution')} submit="Save" csrf={props.csrf} version={props.company.version} faults={faults}>
        <Field
          name="cautionAdded"
          label="Your own words after it"
          hint="They are added wherever the caution is shown; they take nothing from it."
          rows={4}
          value={value('cautionAdded')}
          faults={faults}
        />
      </Form>
    </section>
  )
}

export function LicencesForm(props: CompanyViewProps): JSX.Element {
  const { faults, value } = shownIn(props, 'licences')
  return (
    <section id="licences">
      <h2>Licences and certificates</h2>
      <p>
        <a href={paths.credentials()}>Those of the company and of each technician</a>, with issuer, number and expiry.
      </p>
      <Form action={step('licences')} submit="Save" csrf={props.csrf} version={props.company.version} faults={faults}>
        <Field
          name="credentialWarningDays"
          label="The ledger warns ahead of an expiry"
          unit="days"
          hint="60 unless you say otherwise: common practice, no source."
          value={value('credentialWarningDays')}
          inputmode="numeric"
          size="short"
          faults={faults}
        />
      </Form>
    </section>
  )
}

const dayWords = (day: string) => day.charAt(0).toUpperCase() + day.slice(1)

export function HoursForm(props: CompanyViewProps): JSX.Element {
  const { faults, typed } = shownIn(props, 'hours')
  const { company, csrf } = props
  const holidays = company.holidays.map(({ day, name }) => `${day} ${name}`).join('\n')
  return (
    <section id="hours">
      <h2>Working hours and holidays</h2>
      <p>
        By the office’s clock, <span safe>{company.zone}</span>. Visits that are proposed lie within them.
      </p>
      <Form action={step('hours')} submit="Save" csrf={csrf} version={company.version} faults={faults}>
        <FieldGroup legend="Working hours" hint="Like 08:00-12:00, 13:00-17:00; empty on a day off.">
          {weekdays.map((day, at) => (
            <Field
              name={day}
              label={dayWords(day)}
              value={typed ? (typed[day] ?? '') : spansText(company.workingWeek[at] ?? [])}
              size="medium"
              autocomplete="off"
              faults={faults}
            />
          ))}
        </FieldGroup>
        <Field
          name="holidays"
          label="Holidays"
          hint="One a line, the day and its name: 2026-12-25 Christmas Day. No list of any country is assumed."
          rows={6}
          value={typed ? (typed.holidays ?? '') : holidays}
          faults={faults}
        />
      </Form>
    </section>
  )
}

export function DurationsForm(props: CompanyViewProps): JSX.Element {
  const { faults, value } = shownIn(props, 'durations')
  const field = (name: keyof Company, label: string, unit: string, hint?: string) => (
    <Field
      {...{ name, label, unit, hint, faults }}
      value={value(name)}
      inputmode="numeric"
      size="short"
      autocomplete="off"
    />
  )
  return (
    <section id="durations">
      <h2>How long things take</h2>
      <p>What the answer to a closing is reckoned with. The figures you find here are common practice, no source.</p>
      <Form action={step('durations')} submit="Save" csrf={props.csrf} version={props.company.version} faults={faults}>
        {field('installMinutes', 'Installing a system', 'minutes', 'Working time of one day; the fan runs at its end.')}
        {field('setMinutes', 'Setting a device', 'minutes')}
        {field('pickUpMinutes', 'Picking a device up', 'minutes')}
        {field('otherVisitMinutes', 'Any other visit, where no end is planned', 'minutes')}
        {field('reportMinutes', 'Reading out and reporting', 'minutes', 'Working time of the office.')}
        {field(
          'laboratoryDays',
          'A kit’s way to the laboratory and its answer',
          'days',
          'From pick-up, post included.',
        )}
      </Form>
    </section>
  )
}

export function FansForm(props: CompanyViewProps): JSX.Element {
  const { faults, value } = shownIn(props, 'fans')
  return (
    <section id="fans">
      <h2>When a fan is old</h2>
      <p>
        From this age on a running fan stands on the <a href={paths.month()}>month’s list</a>. The ten years you find
        here are common practice, no source.
      </p>
      <Form action={step('fans')} submit="Save" csrf={props.csrf} version={props.company.version} faults={faults}>
        <Field
          name="fanAgeYears"
          label="Look at a fan from"
          unit="years"
          value={value('fanAgeYears')}
          inputmode="numeric"
          size="short"
          autocomplete="off"
          faults={faults}
        />
      </Form>
    </section>
  )
}

export function ElectricityForm(props: CompanyViewProps): JSX.Element {
  const { faults, value } = shownIn(props, 'electricity')
  return (
    <section id="electricity">
      <h2>Electricity</h2>
      <Form
        action={step('electricity')}
        submit="Save"
        csrf={props.csrf}
        version={props.company.version}
        faults={faults}
      >
        <Field
          name="electricityPrice"
          label="Price of a kilowatt-hour"
          value={value('electricityPrice')}
          inputmode="decimal"
          size="short"
          autocomplete="off"
          optional
          faults={faults}
        />
        <Field
          name="electricityCurrency"
          label="Currency"
          hint="Three letters, such as USD or CAD"
          value={value('electricityCurrency')}
          size="short"
          autocomplete="off"
          optional
          faults={faults}
        />
      </Form>
    </section>
  )
}
