import { SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { WhenText } from '../../web/when-text.tsx'
import { partPrefix } from './form-page.ts'
import { type HomeTyped, typedText } from './home-fields.tsx'
import { homeEventKind } from './people-schemas.ts'
import type { HomeEvent } from './rows.ts'
import { spoken } from './words.ts'

type EventsProps = {
  readonly homeId: string
  readonly zone: string
  readonly events: readonly HomeEvent[]
  readonly typed: HomeTyped
  /** The event whose form to void it came back; null where the form above did, or none. */
  readonly voiding: string | null
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

/** What was done to a home: a new one is entered, a mistaken one voided. */
export function EventsView(props: EventsProps): JSX.Element {
  const { homeId, events, csrf, formKey, voiding } = props
  const { typed, faults } = voiding === null ? props : nothingTyped
  const field = (name: string) => ({ name, value: typedText(typed, name), faults })
  return (
    <>
      <h1>Changes to the home</h1>
      <p>An addition, a new heating, a sale: what may call for a new test.</p>
      <Form
        action={paths.homeEvents(homeId)}
        submit="Enter the change"
        csrf={csrf}
        idempotencyKey={formKey}
        faults={faults}
        draft={`event-${homeId}`}
        cancel={{ href: paths.home(homeId) }}
      >
        <SelectField
          {...field('kind')}
          label="What"
          choices={homeEventKind.options.map(value => ({ value, words: spoken(value) }))}
        />
        <DateField {...field('day')} label="When" optional />
        <Field
          {...field('roughly')}
          label="Or roughly"
          hint="Like 2011, 2011-04, or 2011-21 for spring 2011"
          size="short"
          maxlength={20}
        />
        <Field {...field('note')} label="Note" rows={2} maxlength={2000} />
      </Form>
      <List
        title="Known changes"
        order="newest first"
        count={events.length}
        noun={['change', 'changes']}
        items={events.map(event => <Event {...props} {...(voiding === event.id ? {} : nothingTyped)} event={event} />)}
        empty={{ text: 'No change to this home is known.' }}
      />
    </>
  )
}

const nothingTyped = { typed: {}, faults: [] } as const

function Event(props: EventsProps & { readonly event: HomeEvent }): JSX.Element {
  const { homeId, zone, event, csrf, typed, faults } = props
  const why = `${partPrefix(event.id)}why`
  const words = [spoken(event.kind), event.note].filter(Boolean).join(': ')
  return (
    <>
      <p>
        {event.voidedAt === null ? <span safe>{words}</span> : <del safe>{words}</del>}
        {', '}
        <WhenText when={{ at: event.at, edtf: event.roughly }} zone={zone} />
        <span safe>{event.voidedAt === null ? '' : `, voided: ${event.voidReason ?? ''}`}</span>
      </p>
      <p>
        <a href={paths.putRight('home_event', event.id)}>
          Put right: it belongs to another home, or should not count<span class="unseen" safe>{`: ${words}`}</span>
        </a>
      </p>
      {event.voidedAt === null ? (
        <details class="grave" open={faults.length > 0}>
          <summary>
            Void<span class="unseen" safe>{`: ${words}`}</span>
          </summary>
          <Form
            action={`${paths.homeEvents(homeId)}/${event.id}/void`}
            submit="Void"
            csrf={csrf}
            version={event.version}
            faults={faults}
            grave
          >
            <Field name={why} value={typedText(typed, why)} faults={faults} label="Why" maxlength={500} />
          </Form>
        </details>
      ) : (
        ''
      )}
    </>
  )
}
