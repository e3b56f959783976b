import type { FieldFault } from './error-summary.tsx'
import { DateField, TimeField } from './field.tsx'
import { type TypedFields, textIn } from './typed-fields.ts'

/** A day and a time of day as two fields, `name` and `name-time`; read back by `momentIn`. */
export const MomentFields = (props: {
  name: string
  label: string
  typed: TypedFields
  faults: readonly FieldFault[]
  optional?: boolean
  ahead?: boolean
}): JSX.Element => (
  <div class="moment">
    <DateField {...props} value={textIn(props.typed, props.name)} />
    <TimeField
      name={`${props.name}-time`}
      label={`${props.label}, time`}
      optional={props.optional}
      faults={props.faults}
      value={textIn(props.typed, `${props.name}-time`)}
    />
  </div>
)
