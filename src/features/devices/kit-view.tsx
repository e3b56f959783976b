import { localDayOf } from '../../domain/calendar/local-day.ts'
import { chaseOfKit } from '../../domain/devices/chase-kit.ts'
import { type KitLimits, kitStateOf } from '../../domain/devices/kit-facts.ts'
import type { Instant, LocalDay } from '../../domain/facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { purposeWords } from '../../web/purpose-words.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { DayText } from '../../web/when-text.tsx'
import type { KitRow } from './kit-queries.ts'
import { knownOfKit } from './known-of-kit.ts'
import { daysInWords, kitStateWords, methodWords } from './words.ts'

type Props = {
  readonly kit: KitRow
  readonly limits: KitLimits | null
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly now: Instant
  readonly office: boolean
}

/** A kit: with whom, its days, what is to be done about it, and what is said of it next. */
export function KitView(props: Props): JSX.Element {
  const { kit, limits, now } = props
  const known = knownOfKit(kit)
  const today = localDayOf(now, kit.zone)
  const chase = limits && kit.voidedAt === null ? chaseOfKit(known, limits, today) : null
  const state = kitStateOf(known)
  return (
    <>
      <p class="above">
        <a href={paths.homeDevices(kit.propertyId)} safe>
          {kit.address}
        </a>
      </p>
      <h1 safe>{`Kit ${kit.number}`}</h1>
      <p>
        <a href={paths.device(kit.deviceId)} safe>
          {methodWords[kit.method]}
        </a>
        <span safe>{`, ${purposeWords[kit.purpose].toLowerCase()}: ${kitStateWords[state]}.`}</span>
      </p>
      {kit.voidedAt === null ? (
        ''
      ) : (
        <p class="note" safe>{`Taken out: ${kit.voidReason ?? ''}. It counts for nothing.`}</p>
      )}
      {chase ? <p class="note" safe>{`To do: ${daysInWords(chase.reason, today)}.`}</p> : ''}
      <dl class="pair">
        <Said label="Left" day={known.leftOn} today={today} rest={kit.leftWith ? `with ${kit.leftWith}` : ''} />
        <Said label="In place from" day={known.exposedFrom} today={today} />
        <Said label="In place to" day={known.exposedTo} today={today} />
        <Said label="Posted" day={known.postedOn} today={today} />
        <Said label="Answered" day={known.answeredOn} today={today} />
        {known.returnedOn ? <Said label="Came back unused" day={known.returnedOn} today={today} /> : ''}
        {known.lostOn ? <Said label="Lost" day={known.lostOn} today={today} /> : ''}
      </dl>
      {kit.test ? (
        <p>
          <a href={paths.test(kit.test.id)}>The test it belongs to</a>
        </p>
      ) : (
        ''
      )}
      {props.office && kit.voidedAt === null && state !== 'answered' ? (
        <p>
          <a href={paths.kitAnswer(kit.number)}>Enter the laboratory’s answer</a>
        </p>
      ) : (
        ''
      )}
      {kit.voidedAt === null ? <DaysForm {...props} /> : ''}
      {kit.voidedAt === null && props.office ? <VoidForm {...props} /> : ''}
      {props.office ? (
        <p>
          <a href={paths.putRight('kit', kit.id)}>Put right: it belongs to another home, or should not count</a>
        </p>
      ) : (
        ''
      )}
    </>
  )
}

const Said = (props: { label: string; day: LocalDay | null; today: LocalDay; rest?: string }): JSX.Element => (
  <div>
    <dt safe>{props.label}</dt>
    <dd>
      {props.day === null ? <span class="unknown">not known</span> : <DayText day={props.day} today={props.today} />}
      {props.rest ? <span safe>{`, ${props.rest}`}</span> : ''}
    </dd>
  </div>
)

const days = [
  ['exposedFrom', 'In place from'],
  ['exposedTo', 'In place to'],
  ['postedOn', 'Posted'],
  ['returnedOn', 'Came back unused'],
  ['lostOn', 'Lost since'],
] as const

const DaysForm = ({ kit, typed, faults, csrf }: Props): JSX.Element => (
  <Form
    action={paths.kitStep(kit.id, 'days')}
    submit="Keep these days"
    csrf={csrf}
    version={kit.version}
    faults={faults.filter(fault => fault.name !== 'why-void')}
  >
    <FieldGroup legend="What the homeowner says" hint="A day that is left empty stays as it is.">
      {days.map(([name, label]) => (
        <DateField name={name} label={label} value={textIn(typed, name)} optional faults={faults} />
      ))}
      <Field
        name="reason"
        label="Why it changes"
        hint="Where a day was said differently before"
        value={textIn(typed, 'reason')}
        optional
        faults={faults}
      />
    </FieldGroup>
  </Form>
)

const VoidForm = ({ kit, typed, faults, csrf }: Props): JSX.Element => (
  <section>
    <h2>Entered wrongly?</h2>
    <Form
      action={paths.kitStep(kit.id, 'void')}
      submit="Take this kit out"
      csrf={csrf}
      version={kit.version}
      faults={faults.filter(fault => fault.name === 'why-void')}
      grave
    >
      <Field name="why-void" label="Why" value={textIn(typed, 'why-void')} faults={faults} />
    </Form>
  </section>
)
