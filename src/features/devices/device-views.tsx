import type { LocalDay } from '../../domain/facts.ts'
import { choicesFrom, SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { DateField, Field, NumberField } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { DayText, InstantText } from '../../web/when-text.tsx'
import type { DeviceLine } from './page-queries.ts'
import type { DeviceRow } from './queries.ts'
import { kindWords, methodWords, nameOf } from './words.ts'

/** Every monitor and lot, where it is and how long its calibration holds. */
export const DevicesView = (props: {
  lines: readonly DeviceLine[]
  today: LocalDay
  zone: string
  mayAdd: boolean
}): JSX.Element => (
  <>
    <h1>Devices</h1>
    {props.mayAdd ? (
      <p>
        <a href={paths.newDevice()}>Record a device</a>
      </p>
    ) : (
      ''
    )}
    {props.lines.length === 0 ? (
      <Empty text="No radon monitor and no lot of kits is on record." />
    ) : (
      <Table
        caption={`${props.lines.length} devices, monitors first`}
        columns={['Device', 'Kind', 'Calibrated or usable until', 'Where it is'].map(words => ({ words }))}
        rows={props.lines.map(line => [
          <a href={paths.device(line.id)} safe>
            {nameOf(line)}
          </a>,
          <Text of={`${kindWords[line.kind]}, ${methodWords[line.method]}`} />,
          <Until day={line.validUntil ?? line.expiresOn} today={props.today} />,
          line.outAt ? (
            <>
              <a href={paths.home(line.outAt.propertyId)} safe>
                {line.outAt.address}
              </a>
              {line.outAt.since === null ? (
                ''
              ) : (
                <span class="light">
                  {' '}
                  since <InstantText at={line.outAt.since} zone={props.zone} />
                </span>
              )}
            </>
          ) : (
            <Text of={placeWords(line)} />
          ),
        ])}
      />
    )}
  </>
)

const placeWords = (line: DeviceLine): string => {
  if (line.retired) return 'retired'
  return line.kind === 'monitor' ? 'not at a home' : `${line.kitCount ?? 'an unknown number of'} kits`
}

const Until = ({ day, today }: { day: LocalDay | null; today: LocalDay }): JSX.Element =>
  day === null ? (
    <span class="unknown">not recorded</span>
  ) : (
    <>
      <DayText day={day} />
      {day < today ? <strong> past</strong> : ''}
    </>
  )

type FormProps = {
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
  readonly formKey: string
}

export const DeviceForm = ({ typed, faults, csrf, formKey }: FormProps): JSX.Element => (
  <Form
    action={paths.newDevice()}
    submit="Record the device"
    csrf={csrf}
    idempotencyKey={formKey}
    faults={faults}
    cancel={{ href: paths.devices() }}
  >
    <SelectField
      name="kind"
      label="What it is"
      choices={choicesFrom(kindWords)}
      value={textIn(typed, 'kind')}
      empty="Choose"
      faults={faults}
    />
    <SelectField
      name="method"
      label="Method"
      choices={choicesFrom(methodWords)}
      value={textIn(typed, 'method')}
      empty="Choose"
      faults={faults}
    />
    <Field name="model" label="Model" value={textIn(typed, 'model')} optional faults={faults} />
    <Field
      name="serial"
      label="Serial number"
      hint="Of a monitor"
      value={textIn(typed, 'serial')}
      size="medium"
      optional
      faults={faults}
    />
    <Field
      name="lot"
      label="Lot number"
      hint="Of kits"
      value={textIn(typed, 'lot')}
      size="medium"
      optional
      faults={faults}
    />
    <NumberField name="kitCount" label="Kits in the lot" value={textIn(typed, 'kitCount')} optional faults={faults} />
    <DateField name="expiresOn" label="Usable until" value={textIn(typed, 'expiresOn')} optional faults={faults} />
    <NumberField
      name="sensitivity"
      label="Sensitivity"
      unit="cph per pCi/L"
      value={textIn(typed, 'sensitivity')}
      optional
      faults={faults}
    />
    <DateField
      name="calibratedOn"
      label="Last calibrated"
      value={textIn(typed, 'calibratedOn')}
      optional
      faults={faults}
    />
    <DateField
      name="validUntil"
      label="Calibration holds until"
      value={textIn(typed, 'validUntil')}
      optional
      faults={faults}
    />
  </Form>
)

/** One device with its calibrations. */
export const DeviceView = (
  props: { device: DeviceRow; today: LocalDay; mayChange: boolean } & FormProps,
): JSX.Element => (
  <>
    <h1 safe>{nameOf(props.device)}</h1>
    <p safe>{`${kindWords[props.device.kind]}, ${methodWords[props.device.method]}.`}</p>
    {props.device.outAt ? (
      <p>
        It stands <a href={paths.home(props.device.outAt.propertyId)}>at a home</a> in a test that is not picked up yet.
      </p>
    ) : (
      ''
    )}
    <section>
      <h2>Calibrations</h2>
      {props.device.calibrations.length === 0 ? (
        <Empty text="No calibration is on record: tests with it carry a note." />
      ) : (
        <Table
          caption="Calibrations, newest first"
          quietCaption
          columns={['Calibrated', 'Holds until', 'Certificate'].map(words => ({ words }))}
          rows={props.device.calibrations.map(calibration => [
            <DayText day={calibration.calibratedOn} />,
            <Until day={calibration.validUntil} today={props.today} />,
            <Text of={calibration.certificate} />,
          ])}
        />
      )}
      {props.mayChange && props.device.kind === 'monitor' ? (
        <Form
          action={paths.deviceStep(props.device.id, 'calibrations')}
          submit="Add the calibration"
          csrf={props.csrf}
          idempotencyKey={props.formKey}
          faults={props.faults}
        >
          <DateField
            name="calibratedOn"
            label="Calibrated"
            value={textIn(props.typed, 'calibratedOn')}
            faults={props.faults}
          />
          <DateField
            name="validUntil"
            label="Holds until"
            value={textIn(props.typed, 'validUntil')}
            faults={props.faults}
          />
          <Field
            name="certificate"
            label="Certificate"
            value={textIn(props.typed, 'certificate')}
            optional
            faults={props.faults}
          />
        </Form>
      ) : (
        ''
      )}
    </section>
  </>
)
