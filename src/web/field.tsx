import type { PropsWithChildren } from '@kitajs/html'
import { attributeText } from './attribute-text.ts'
import { type FieldFault, faultOf, fieldId } from './error-summary.tsx'
import { unitWords } from './quantity-text.tsx'

export type Labelled = {
  name: string
  label: string
  hint?: string
  /** Stands inside the label: `Radon (pCi/L)` is read out with its unit. */
  unit?: string
  optional?: boolean
  faults?: readonly FieldFault[]
}

export type FieldProps = Labelled & {
  value?: string | number | null
  type?: 'text' | 'email' | 'tel' | 'password' | 'search' | 'url' | 'time' | 'file'
  inputmode?: 'text' | 'decimal' | 'numeric' | 'tel' | 'email'
  autocomplete?: string
  rows?: number
  maxlength?: number
  accept?: string
  /** Opens the phone's camera at once. */
  capture?: 'environment'
  required?: boolean
  autofocus?: boolean
  /** To be read and copied, not typed into. */
  readonly?: boolean
  size?: 'short' | 'medium' | 'long'
  echoes?: 'number'
}

const descriptionOf = ({ name, hint, faults }: Labelled): string | undefined => {
  const id = fieldId(name)
  const parts = [hint ? `${id}-hint` : '', faultOf(faults, name) ? `${id}-fault` : ''].filter(part => part !== '')
  return parts.length === 0 ? undefined : parts.join(' ')
}

/** What every control carries so that label, hint and fault belong to it. */
export const controlAttributes = (field: Labelled) => ({
  id: fieldId(field.name),
  name: field.name,
  'aria-describedby': descriptionOf(field),
  'aria-invalid': faultOf(field.faults, field.name) ? ('true' as const) : undefined,
})

/** Label, hint, control and fault, in reading order. */
export function Labelled(props: PropsWithChildren<Labelled>): JSX.Element {
  const { name, label, hint, unit, optional, faults } = props
  const id = fieldId(name)
  const fault = faultOf(faults, name)
  return (
    <div class={fault ? 'field faulty' : 'field'}>
      <label for={id}>
        <span safe>{label}</span>
        {unit ? <span class="unit" safe>{` (${unitWords(unit)})`}</span> : ''}
        {optional ? <span class="optional"> if known</span> : ''}
      </label>
      {hint ? (
        <p class="hint" id={`${id}-hint`} safe>
          {hint}
        </p>
      ) : (
        ''
      )}
      {props.children}
      {fault ? (
        <p class="fault" id={`${id}-fault`}>
          <strong>Look here:</strong> <span safe>{fault}</span>
        </p>
      ) : (
        ''
      )}
    </div>
  )
}

/** A line of text, or several with `rows`. Kept as typed when the form comes back; a password never is. */
export function Field(props: FieldProps): JSX.Element {
  const { value, type = 'text', rows, size = 'long', echoes } = props
  const text = value === null || value === undefined ? '' : String(value)
  const shared = {
    ...controlAttributes(props),
    class: size,
    maxlength: props.maxlength,
    autocomplete: props.autocomplete,
    required: props.required,
    autofocus: props.autofocus,
    readonly: props.readonly,
  }
  return (
    <Labelled {...props}>
      {rows ? (
        <textarea {...shared} rows={String(rows)} safe>
          {text}
        </textarea>
      ) : (
        <input
          {...shared}
          type={type}
          value={type === 'password' || type === 'file' ? undefined : attributeText(text)}
          inputmode={props.inputmode}
          accept={props.accept}
          {...(props.capture ? { capture: props.capture } : {})}
          data-echo={echoes}
          data-unit={echoes && props.unit ? unitWords(props.unit) : undefined}
        />
      )}
    </Labelled>
  )
}

const readWords = (read: string | null | undefined, unit = ''): string =>
  read ? `read as ${read} ${unitWords(unit)}`.trim() : ''

/** A number with its unit in the label; comma and point are both taken, and how it was read is said beside it. */
export const NumberField = (props: FieldProps & { read?: string | null }): JSX.Element => (
  <div class="number-field">
    <Field type="text" inputmode="decimal" size="short" autocomplete="off" echoes="number" {...props} />
    <output class="echo" for={fieldId(props.name)} safe>
      {readWords(props.read, props.unit)}
    </output>
  </div>
)

/** A day typed as people write it; read by `readTypedDate`, `ahead` as there. */
export const DateField = ({ ahead, ...props }: FieldProps & { ahead?: boolean | undefined }): JSX.Element => (
  <Field
    autocomplete="off"
    size="medium"
    hint={`Like 12 May 2026, 2026-05-12, ${ahead ? 'Friday or in 3 days' : 'today or 3 days ago'}`}
    {...props}
  />
)

/** A time of day typed as people write it; read by `readTypedTime`. */
export const TimeField = (props: FieldProps): JSX.Element => (
  <Field autocomplete="off" size="short" hint="Like 14:30 or 2:30 pm" {...props} />
)
