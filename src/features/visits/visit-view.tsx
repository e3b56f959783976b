import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { RadioField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { visitPurposeWords } from '../../web/visit-purpose-words.ts'
import { InstantText } from '../../web/when-text.tsx'
import { writtenNumber } from '../../web/written-number.ts'
import { AtTheHome } from './at-the-home.tsx'
import type { VisitPlace } from './place-queries.ts'
import type { VisitRow } from './queries.ts'
import { outcomeChoices, outcomeWords } from './words.ts'

export type VisitViewProps = {
  readonly visit: VisitRow
  readonly place: VisitPlace
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly now: Instant
  /** Whether this person moves visits and says who goes. */
  readonly mayAssign: boolean
}

/** One visit, as the crew has it in its hand: where, how to get in, what for, and how it went. */
export const VisitView = (props: VisitViewProps): JSX.Element => {
  const { visit, place, now, mayAssign } = props
  const open = visit.outcome === '' && visit.voidedAt === null
  return (
    <>
      <p class="above">
        <a href={paths.home(visit.propertyId)} safe>
          {visit.address}
        </a>
      </p>
      <h1 safe>{visitPurposeWords[visit.purpose]}</h1>
      {visit.voidedAt === null ? '' : <p class="note" safe>{`Voided: ${visit.voidReason ?? ''}`}</p>}
      <p>
        <InstantText at={visit.startsAt} zone={visit.zone} today={localDayOf(now, visit.zone)} />
        <span safe>
          {visit.crew.length ? `, ${visit.crew.map(person => person.name).join(' and ')}` : ', nobody assigned yet'}
        </span>
      </p>
      {visit.instructions ? (
        <p class="said" safe>
          {visit.instructions}
        </p>
      ) : (
        ''
      )}
      <ul class="links">
        <li>
          <a href={mapOf(place)} rel="noreferrer noopener">
            Map
          </a>
        </li>
        {open && mayAssign ? (
          <li>
            <a href={paths.visitStep(visit.id, 'change')}>{visit.crew.length ? 'Move or change it' : 'Say who goes'}</a>
          </li>
        ) : (
          ''
        )}
        {mayAssign ? (
          <li>
            <a href={paths.putRight('visit', visit.id)}>Put right: it belongs elsewhere, or should not count</a>
          </li>
        ) : (
          ''
        )}
      </ul>
      <GettingIn visit={visit} place={place} />
      {visit.voidedAt === null ? <AtTheHome visit={visit} place={place} now={now} /> : ''}
      {open ? <HowItWent {...props} /> : <p safe>{saidOutcome(visit)}</p>}
      <p>
        <a class="button quiet" href={paths.newVisit(visit.propertyId)}>
          {mayAssign ? 'Plan the next visit' : 'Ask for the next visit'}
        </a>
      </p>
    </>
  )
}

// The map is opened only when it is tapped: until then nobody outside learns the address.
const mapOf = ({ street, city, region, postcode, country }: VisitPlace): string =>
  `https://www.openstreetmap.org/search?query=${encodeURIComponent([street, city, `${region} ${postcode}`.trim(), country].filter(Boolean).join(', '))}`

const saidOutcome = ({ outcome, outcomeNote }: VisitRow) =>
  `${outcomeWords[outcome]}${outcomeNote ? `: ${outcomeNote}` : ''}`

function GettingIn({ visit, place }: { visit: VisitRow; place: VisitPlace }): JSX.Element {
  const access = [visit.accessNote, visit.gateCode ? `Gate code ${visit.gateCode}` : '', visit.dogNote].filter(Boolean)
  if (access.length + place.people.length === 0) return ''
  return (
    <section>
      <h2>Getting in</h2>
      <ul>
        {access.map(line => (
          <li safe>{line}</li>
        ))}
        {place.people.map(({ name, phone }) => (
          <li>
            <span safe>{name}</span>
            {phone ? (
              <>
                {', '}
                <a href={`tel:${phone}`} safe>
                  {writtenNumber(phone, place.country)}
                </a>
              </>
            ) : (
              ''
            )}
          </li>
        ))}
      </ul>
    </section>
  )
}

const HowItWent = ({ visit, typed, faults, csrf }: VisitViewProps): JSX.Element => (
  <section>
    <h2>How it went</h2>
    <Form
      action={paths.visitStep(visit.id, 'report')}
      submit="Save how it went"
      csrf={csrf}
      version={visit.version}
      faults={faults}
    >
      <RadioField
        name="outcome"
        label="Outcome"
        choices={outcomeChoices}
        value={textIn(typed, 'outcome')}
        faults={faults}
      />
      <Field name="note" label="Note" rows={3} value={textIn(typed, 'note')} optional faults={faults} />
    </Form>
  </section>
)
