import type { TestChoices } from '../../features/tests/page-queries.ts'
import { RadioField, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { FieldGroup, Form } from '../../web/form.tsx'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'

export type TargetFormProps = {
  readonly importId: string
  readonly home: TestChoices
  readonly waiting: readonly { readonly exposureId: string; readonly words: string }[]
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
  /** The very file was imported before: to do so again must be said. */
  readonly alreadySaid: string | null
}

const PURPOSES = [
  { value: 'pre-mitigation', words: 'Pre-mitigation test' },
  { value: 'post-mitigation', words: 'Post-mitigation test' },
  { value: 'retest', words: 'Retest' },
  { value: 'real-estate', words: 'Real-estate test' },
  { value: 'follow-up', words: 'Follow-up test' },
]
const YES_NO_UNKNOWN = [
  { value: 'yes', words: 'Yes' },
  { value: 'no', words: 'No' },
  { value: 'unknown', words: 'Not known' },
]
const QUESTIONS = [
  ['closed-during', 'Kept closed during the test'],
  ['system-running', 'Radon system running all the time'],
  ['severe-weather', 'Severe storm or high wind'],
  ['tampering', 'Signs of tampering'],
] as const

/** Where the record belongs: a device that was set and waits for it, or a new test with what is known of it. */
export function RecordTargetForm(props: TargetFormProps): JSX.Element {
  const { importId, home, waiting, typed, faults, csrf, formKey, alreadySaid } = props
  return (
    <Form
      action={paths.importStep(importId, 'commit')}
      submit="Save the record"
      busy="Saving…"
      csrf={csrf}
      idempotencyKey={formKey}
      faults={faults}
      cancel={{ href: paths.home(home.id), words: 'Leave without saving' }}
    >
      {waiting.length > 0 ? (
        <>
          <Waiting waiting={waiting} typed={typed} faults={faults} />
          <details open={textIn(typed, 'target') === 'new'}>
            <summary>A new test</summary>
            <NewTestFields home={home} typed={typed} faults={faults} only={false} />
          </details>
        </>
      ) : (
        <NewTestFields home={home} typed={typed} faults={faults} only />
      )}
      <Field
        name="save-as"
        label="Keep this way of reading under a name"
        value={textIn(typed, 'save-as')}
        size="medium"
        optional
        faults={faults}
      />
      {alreadySaid === null ? (
        ''
      ) : (
        <RadioField
          name="again"
          label={alreadySaid}
          choices={[
            { value: 'no', words: 'Do not import it again' },
            { value: 'yes', words: 'Import it a second time' },
          ]}
          value={textIn(typed, 'again') || 'no'}
          faults={faults}
        />
      )}
    </Form>
  )
}

const Waiting = ({ waiting, typed, faults }: Pick<TargetFormProps, 'waiting' | 'typed' | 'faults'>): JSX.Element => (
  <RadioField
    name="target"
    label="Where it belongs"
    choices={[
      ...waiting.map(({ exposureId, words }) => ({ value: exposureId, words })),
      { value: 'new', words: 'A new test: open it below and tell it' },
    ]}
    value={textIn(typed, 'target') || waiting[0]!.exposureId}
    faults={faults}
  />
)

function NewTestFields({
  home,
  typed,
  faults,
  only,
}: Pick<TargetFormProps, 'home' | 'typed' | 'faults'> & { only: boolean }): JSX.Element {
  const shared = { typed, faults }
  const devices = home.devices
    .filter(({ kind }) => kind === 'monitor')
    .map(({ id, name }) => ({ value: id, words: name }))
  const locations = home.locations.map(({ id, name }) => ({ value: id, words: name }))
  return (
    <FieldGroup legend={only ? 'The test' : 'The new test'} hint={`Times are on the home's clock (${home.zone}).`}>
      <SelectField
        name="purpose"
        label="Purpose"
        choices={PURPOSES}
        value={textIn(typed, 'purpose')}
        empty="Choose"
        faults={faults}
      />
      <SelectField
        name="location"
        label="Where the monitor stood"
        choices={locations}
        value={textIn(typed, 'location')}
        empty="Not known"
        faults={faults}
      />
      <SelectField
        name="device"
        label="Monitor"
        choices={devices}
        value={textIn(typed, 'device')}
        empty="Not known"
        faults={faults}
      />
      <MomentFields name="set" label="Set in its place" optional {...shared} />
      <MomentFields name="picked-up" label="Picked up" optional {...shared} />
      <MomentFields name="closed" label="House closed since" optional {...shared} />
      {QUESTIONS.map(([name, label]) => (
        <RadioField
          name={name}
          label={label}
          choices={YES_NO_UNKNOWN}
          value={textIn(typed, name) || 'unknown'}
          faults={faults}
        />
      ))}
    </FieldGroup>
  )
}
