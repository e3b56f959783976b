import { CheckField, choicesFrom, RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { methodWords } from '../../web/method-words.ts'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { purposeWords } from '../../web/purpose-words.ts'
import { type TypedFields, textIn, textsIn } from '../../web/typed-fields.ts'
import type { TestChoices } from './page-queries.ts'
import { sourceWords, yesNoUnknown } from './words.ts'

export type TestFormProps = {
  readonly home: TestChoices
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
  readonly unit: string
  /** Short, for whoever stands in the home with a device in hand: what can only be known later is left out. */
  readonly setting: boolean
}

/** A new test, from whatever is known of it now: set only, or with its result. */
export function TestForm(props: TestFormProps): JSX.Element {
  const { home, typed, csrf, formKey, unit, setting } = props
  const faults = asShown(props)
  const shared = { typed, faults }
  return (
    <Form
      action={setting ? paths.setDevice(home.id) : paths.newTest(home.id)}
      submit={setting ? 'The device is set' : 'Record the test'}
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
      draft={setting ? undefined : `test-${home.id}`}
      cancel={{ href: paths.home(home.id) }}
    >
      <SelectField
        name="purpose"
        label="Purpose"
        choices={choicesFrom(purposeWords)}
        value={textIn(typed, 'purpose')}
        empty="Choose"
        faults={faults}
      />
      <SelectField
        name="method"
        label="Method"
        choices={choicesFrom(methodWords)}
        value={textIn(typed, 'method')}
        empty={setting ? 'As the device has it' : 'Choose'}
        faults={faults}
      />
      {home.systems.length > 0 ? (
        <SelectField
          name="system"
          label="System it is about"
          choices={home.systems.map(system => ({
            value: system.id,
            words: system.tag ? `${system.type}, tag ${system.tag}` : system.type,
          }))}
          value={textIn(typed, 'system')}
          empty="None"
          faults={faults}
        />
      ) : (
        ''
      )}
      <Where home={home} unit={unit} setting={setting} {...shared} />
      {faults.some(fault => fault.name.startsWith('device-')) && textIn(typed, 'confirm-devices') === '' ? (
        <ReallyHere {...shared} />
      ) : (
        ''
      )}
      <FieldGroup legend="When" hint={`On the home's clock (${home.zone}).`}>
        <MomentFields name="set" label="Device set" optional {...shared} />
        <Field name="set-by" label="Set by" value={textIn(typed, 'set-by')} optional faults={faults} />
        {setting ? '' : <MomentFields name="picked-up" label="Picked up" optional {...shared} />}
        {setting ? <MomentFields name="closed" label="Windows and doors closed since" optional {...shared} /> : ''}
      </FieldGroup>
      {setting ? (
        ''
      ) : (
        <>
          <Conditions {...shared} />
          <SelectField
            name="source"
            label="Measured by"
            choices={choicesFrom(sourceWords)}
            value={textIn(typed, 'source') || 'own'}
            faults={faults}
          />
        </>
      )}
    </Form>
  )
}

// Asked only once the records speak against it: what is really measured is kept, and a finding tells it.
const ReallyHere = ({ typed, faults }: { typed: TypedFields; faults: readonly FieldFault[] }): JSX.Element => (
  <CheckField
    name="confirm-devices"
    label="Does it stand here all the same?"
    choices={[
      { value: 'yes', words: 'Yes, it was set here: record it, and say in the findings what speaks against it' },
    ]}
    values={textsIn(typed, 'confirm-devices')}
    faults={faults}
  />
)

// Where devices are chosen no location is ticked, so what is missing stands at the first choice.
function asShown({ home, faults, setting }: TestFormProps): readonly FieldFault[] {
  const [first] = home.locations
  if (!setting || home.devices.length === 0 || !first) return faults
  const missing = { name: `device-${first.id}`, message: 'No device is chosen: say which stands where' }
  return faults.map(fault => (fault.name === 'here' ? missing : fault))
}

type WhereProps = Pick<TestFormProps, 'home' | 'typed' | 'faults' | 'unit' | 'setting'>
function Where({ home, typed, faults, unit, setting }: WhereProps): JSX.Element {
  const devices = home.devices.map(device => ({ value: device.id, words: device.name }))
  return (
    <FieldGroup
      legend="Where"
      hint={
        setting
          ? 'Choose the device, or write the kit’s number, at each location where one is set.'
          : 'Tick each location that is measured. A result may wait until it is in; < and > are understood.'
      }
    >
      {home.locations.length === 0 ? (
        <p>
          This home has no test locations yet. <a href={paths.homeRooms(home.id)}>Add one first.</a>
        </p>
      ) : (
        ''
      )}
      {setting ? '' : <UnitOfResults unit={textIn(typed, 'unit') || unit} faults={faults} />}
      {home.locations.map((location, at) => (
        <div class="one-location">
          {setting && devices.length > 0 ? (
            ''
          ) : (
            <CheckField
              name="here"
              idFrom={at === 0 ? undefined : `here-${location.id}`}
              label={location.name}
              choices={[{ value: location.id, words: `Measured in ${location.name}` }]}
              values={textsIn(typed, 'here')}
              faults={at === 0 ? faults : []}
            />
          )}
          <SelectField
            name={`device-${location.id}`}
            label={`Device in ${location.name}`}
            choices={devices}
            value={textIn(typed, `device-${location.id}`)}
            empty="None or not known"
            faults={faults}
          />
          <Field
            name={`kit-${location.id}`}
            label={`Kit number in ${location.name}`}
            value={textIn(typed, `kit-${location.id}`)}
            size="medium"
            optional
            faults={faults}
          />
          {setting ? (
            ''
          ) : (
            <Field
              name={`result-${location.id}`}
              label={`Result in ${location.name}`}
              value={textIn(typed, `result-${location.id}`)}
              size="short"
              inputmode="decimal"
              autocomplete="off"
              optional
              faults={faults}
            />
          )}
        </div>
      ))}
    </FieldGroup>
  )
}

const UnitOfResults = ({ unit, faults }: { unit: string; faults: readonly FieldFault[] }): JSX.Element => (
  <RadioField
    name="unit"
    label="Unit of the results"
    choices={[
      { value: 'pCi/L', words: 'pCi/L' },
      { value: 'Bq/m3', words: 'Bq/m³' },
    ]}
    value={unit}
    faults={faults}
  />
)

/** What the building was like: each unknown is said as unknown. */
export const Conditions = ({ typed, faults }: { typed: TypedFields; faults: readonly FieldFault[] }): JSX.Element => (
  <FieldGroup legend="The building during the test">
    <MomentFields name="closed" label="Closed since" optional typed={typed} faults={faults} />
    <RadioField
      name="closed-during"
      label="Kept closed during the test"
      choices={yesNoUnknown}
      value={textIn(typed, 'closed-during') || 'unknown'}
      faults={faults}
    />
    <RadioField
      name="system-running"
      label="Radon system running all the time"
      choices={yesNoUnknown}
      value={textIn(typed, 'system-running') || 'unknown'}
      faults={faults}
    />
    <RadioField
      name="severe-weather"
      label="Severe storm or high wind"
      choices={yesNoUnknown}
      value={textIn(typed, 'severe-weather') || 'unknown'}
      faults={faults}
    />
    <RadioField
      name="tampering"
      label="Signs of tampering"
      choices={yesNoUnknown}
      value={textIn(typed, 'tampering') || 'unknown'}
      faults={faults}
    />
    <Field
      name="conditions-note"
      label="Anything else about the conditions"
      rows={3}
      value={textIn(typed, 'conditions-note')}
      optional
      faults={faults}
    />
  </FieldGroup>
)
