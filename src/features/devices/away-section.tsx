import { localDayOf } from '../../domain/calendar/local-day.ts'
import { choicesFrom, SelectField } from '../../web/choice-field.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { textIn } from '../../web/typed-fields.ts'
import { DayText } from '../../web/when-text.tsx'
import type { DeviceViewProps } from './device-props.ts'
import { absenceChoices, absenceWords } from './words.ts'

/** When a monitor was away, that it is back, and sending it away. */
export const AwaySection = (props: DeviceViewProps): JSX.Element => {
  const { absences, now, zone } = props
  const today = localDayOf(now, zone)
  const known = absences.filter(absence => absence.voidedAt === null)
  const open = known.find(absence => absence.backOn === null)
  return (
    <section id="away">
      <h2>Away</h2>
      {known.length === 0 ? (
        <Empty text="It was never sent away, as far as known." />
      ) : (
        <Table
          caption="When it was away, newest first"
          quietCaption
          columns={['Why', 'From', 'Back', 'Where'].map(words => ({ words }))}
          rows={known.map(absence => [
            <Text of={absenceWords[absence.kind]} />,
            <DayText day={absence.fromOn} today={today} />,
            absence.backOn === null ? (
              absence.expectedBackOn === null ? (
                <span class="unknown">not back</span>
              ) : (
                <span>
                  expected <DayText day={absence.expectedBackOn} today={today} />
                </span>
              )
            ) : (
              <DayText day={absence.backOn} today={today} />
            ),
            <Text of={absence.place} />,
          ])}
        />
      )}
      {props.mayChange && open ? <BackForm {...props} absenceId={open.id} version={open.version} /> : ''}
      {props.mayChange && !open ? <AwayForm {...props} /> : ''}
    </section>
  )
}

const BackForm = (props: DeviceViewProps & { absenceId: string; version: number }): JSX.Element => {
  const faults = props.came === 'away' ? props.faults : []
  const value = (name: string) => (props.came === 'away' ? textIn(props.typed, name) : '')
  return (
    <Form
      action={paths.absenceStep(props.device.id, props.absenceId, 'back')}
      submit="Keep this"
      csrf={props.csrf}
      version={props.version}
      faults={faults}
    >
      <FieldGroup legend="Is it back?">
        <DateField name="backOn" label="Back since" value={value('backOn')} optional faults={faults} />
        <DateField
          name="expectedBackOn"
          label="Or expected on another day"
          hint="Left empty, the day stays as it is"
          value={value('expectedBackOn')}
          optional
          faults={faults}
        />
      </FieldGroup>
    </Form>
  )
}

const AwayForm = (props: DeviceViewProps): JSX.Element => {
  const faults = props.came === 'away' ? props.faults : []
  const value = (name: string) => (props.came === 'away' ? textIn(props.typed, name) : '')
  return (
    <Form
      action={paths.deviceStep(props.device.id, 'away')}
      submit="It goes away"
      csrf={props.csrf}
      idempotencyKey={props.formKey}
      faults={faults}
    >
      <FieldGroup legend="Send it away" hint="A day to come is a plan: it is not booked for that time.">
        <SelectField
          name="kind"
          label="Why"
          choices={choicesFrom(absenceChoices)}
          value={value('kind')}
          empty="Choose"
          faults={faults}
        />
        <DateField name="fromOn" label="From" value={value('fromOn')} faults={faults} />
        <DateField
          name="expectedBackOn"
          label="Expected back"
          value={value('expectedBackOn')}
          optional
          faults={faults}
        />
        <Field name="place" label="Where to" value={value('place')} optional faults={faults} />
      </FieldGroup>
    </Form>
  )
}
