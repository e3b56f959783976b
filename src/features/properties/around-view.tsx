import { SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type HomeTyped, typedText } from './home-fields.tsx'
import { personRole } from './people-schemas.ts'
import { PeopleSection } from './people-section.tsx'
import type { AroundHome } from './rows.ts'
import { spoken } from './words.ts'

export type AroundBack = {
  readonly form: 'owner' | 'person'
  readonly typed: HomeTyped
  readonly faults: readonly FieldFault[]
}
type AroundProps = {
  readonly homeId: string
  readonly people: readonly AroundHome[]
  readonly country: string
  readonly csrf: string
  readonly keys: readonly [string, string]
  readonly back: AroundBack | null
}

/** Who is around a home: a change of owner, other people, and when somebody's part ends. */
export function AroundView({ homeId, people, country, csrf, keys, back }: AroundProps): JSX.Element {
  const backOf = (form: AroundBack['form']) => (back?.form === form ? back : { typed: {}, faults: [] })
  const running = people.filter(person => person.role !== 'owner' && person.untilOn === null)
  return (
    <>
      <h1>People around this home</h1>
      <PeopleSection homeId={homeId} people={people} country={country} mayChange={false} />
      {running.map(person => (
        <Form
          action={`${paths.homePeople(homeId)}/ends`}
          submit={`${spoken(person.role)} no longer: ${person.name}`}
          csrf={csrf}
          version={person.version}
        >
          <input type="hidden" name="personId" value={person.id} />
        </Form>
      ))}
      <OwnerForm homeId={homeId} csrf={csrf} formKey={keys[0]} {...backOf('owner')} />
      <PersonForm homeId={homeId} csrf={csrf} formKey={keys[1]} {...backOf('person')} />
    </>
  )
}

type FormProps = Omit<AroundBack, 'form'> & {
  readonly homeId: string
  readonly csrf: string
  readonly formKey: string
}

const Somebody = ({ typed, faults, prefix }: Pick<FormProps, 'typed' | 'faults'> & { prefix: string }): JSX.Element => {
  const field = (name: string) => ({ name: `${prefix}-${name}`, value: typedText(typed, `${prefix}-${name}`), faults })
  return (
    <FieldGroup legend="Who" hint="Somebody whose mail address is known already is taken from there.">
      <Field {...field('name')} label="Name" autocomplete="off" maxlength={200} />
      <Field {...field('phone')} label="Phone" type="tel" autocomplete="off" size="medium" optional />
      <Field {...field('email')} label="E-mail" type="email" autocomplete="off" optional />
    </FieldGroup>
  )
}

function OwnerForm({ homeId, csrf, formKey, typed, faults }: FormProps): JSX.Element {
  const field = (name: string) => ({ name: `owner-${name}`, value: typedText(typed, `owner-${name}`), faults })
  return (
    <section id="owner">
      <h2>A new owner</h2>
      <p>Reminders go to the new owner from then on; links mailed to the old one stop opening.</p>
      <Form
        action={`${paths.homePeople(homeId)}/owner`}
        submit="Change the owner"
        csrf={csrf}
        idempotencyKey={formKey}
        faults={faults}
        draft={`owner-${homeId}`}
        cancel={{ href: paths.home(homeId) }}
      >
        <Somebody typed={typed} faults={faults} prefix="owner" />
        <SelectField
          {...field('because')}
          label="Because of"
          choices={[
            { value: 'sale', words: 'a sale' },
            { value: 'inheritance', words: 'an inheritance' },
            { value: 'gift', words: 'a gift' },
            { value: 'correction', words: 'a mistake: the old one never was the owner' },
            { value: 'unknown', words: 'not known' },
          ]}
        />
        <DateField {...field('onDay')} label="Owner from" hint="Like 12 May 2026; today when left empty" />
        <Field
          {...field('roughly')}
          label="Or roughly"
          hint="Like 2011, 2011-04, or 2011-21 for spring 2011"
          size="short"
          maxlength={20}
        />
      </Form>
    </section>
  )
}

function PersonForm({ homeId, csrf, formKey, typed, faults }: FormProps): JSX.Element {
  const field = (name: string) => ({ name: `person-${name}`, value: typedText(typed, `person-${name}`), faults })
  return (
    <section id="person">
      <h2>Somebody else around it</h2>
      <Form
        action={paths.homePeople(homeId)}
        submit="Add to this home"
        csrf={csrf}
        idempotencyKey={formKey}
        faults={faults}
        draft={`around-${homeId}`}
      >
        <SelectField
          {...field('role')}
          label="As"
          choices={personRole.options.map(value => ({ value, words: spoken(value) }))}
        />
        <Somebody typed={typed} faults={faults} prefix="person" />
        <DateField {...field('fromOn')} label="Since" optional />
      </Form>
    </section>
  )
}
