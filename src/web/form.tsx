import type { PropsWithChildren } from '@kitajs/html'
import { ErrorSummary, type FieldFault } from './error-summary.tsx'

export type FormProps = PropsWithChildren<{
  action: string
  /** What the button says, as a verb: `Record the test`. */
  submit: string
  /** What it says while it is being done: `Recording…`. */
  busy?: string
  csrf: string
  /** Key that makes a creating form count once however often it is sent. */
  idempotencyKey?: string
  faults?: readonly FieldFault[]
  /** Files are sent. */
  multipart?: boolean
  /** Version of the record as it was read, sent as `version`. */
  version?: number
  cancel?: { readonly href: string; readonly words?: string }
  /** The act cannot be taken back: the button is marked and never the nearest to the thumb. */
  grave?: boolean
  /** Keeps what is typed in this tab until it is sent, under this name. */
  draft?: string
  /** Keeps the button in the thumb's half of a phone's screen while the form is scrolled: for short forms on site. */
  atThumb?: boolean
  /** What comes back is a file: the page stays, and so does the button. */
  download?: boolean
  id?: string
}>

/** A form that is sent once: CSRF token, idempotency key, faults on top, the action in reach of the thumb. */
export function Form(props: FormProps): JSX.Element {
  const {
    action,
    submit,
    busy,
    csrf,
    idempotencyKey,
    faults = [],
    multipart,
    version,
    cancel,
    grave,
    draft,
    id,
  } = props
  return (
    <form
      id={id}
      action={action}
      method="post"
      enctype={multipart ? 'multipart/form-data' : undefined}
      novalidate
      data-once={props.download ? undefined : (busy ?? 'Sending…')}
      data-draft={draft}
    >
      <input type="hidden" name="_csrf" value={csrf} />
      {idempotencyKey === undefined ? '' : <input type="hidden" name="_key" value={idempotencyKey} />}
      {version === undefined ? '' : <input type="hidden" name="version" value={String(version)} />}
      <ErrorSummary faults={faults} />
      {props.children}
      <div class={props.atThumb ? 'actions at-thumb' : 'actions'}>
        <button type="submit" class={grave ? 'grave' : 'primary'} safe>
          {submit}
        </button>
        {cancel ? (
          <a class="cancel" href={cancel.href} safe>
            {cancel.words ?? 'Leave it as it is'}
          </a>
        ) : (
          ''
        )}
      </div>
    </form>
  )
}

/** Fields that belong together, with what they are about as the legend. */
export const FieldGroup = (props: PropsWithChildren<{ legend: string; hint?: string }>): JSX.Element => (
  <fieldset>
    <legend safe>{props.legend}</legend>
    {props.hint ? (
      <p class="hint" safe>
        {props.hint}
      </p>
    ) : (
      ''
    )}
    {props.children}
  </fieldset>
)
