/** A fault of one field: `name` as the field is called, and what to do about it. An empty name concerns the whole form. */
export type FieldFault = { readonly name: string; readonly message: string }

/** What a form's reader found, as the form shows it. */
export const faultsFrom = (problems: readonly { field: string; message: string }[] = []): FieldFault[] =>
  problems.map(({ field, message }) => ({ name: field, message }))

export const fieldId = (name: string): string => `field-${name.replace(/[^\w-]+/g, '-')}`
export const faultOf = (faults: readonly FieldFault[] | undefined, name: string): string | undefined =>
  faults?.find(fault => fault.name === name)?.message

// A field says one thing at a time: what it lacks comes before how it is written.
const isFirstOfItsField = (fault: FieldFault, at: number, faults: readonly FieldFault[]) =>
  fault.name === '' || faults.findIndex(other => other.name === fault.name) === at

/** The summary on top of a form that came back: how many faults, each linked to its field. Takes the focus. */
export function ErrorSummary(props: { faults: readonly FieldFault[] }): JSX.Element {
  const faults = props.faults.filter(isFirstOfItsField)
  if (faults.length === 0) return <></>
  const count = faults.length === 1 ? 'One thing needs' : `${faults.length} things need`
  return (
    <div class="error-summary" role="alert" tabindex="-1" id="error-summary">
      <h2>
        <span safe>{count}</span> another look
      </h2>
      <p>Nothing was saved yet; what you typed is still here.</p>
      <ul>
        {faults.map(({ name, message }) => (
          <li>
            {name === '' ? (
              <span safe>{message}</span>
            ) : (
              <a href={`#${fieldId(name)}`} safe>
                {message}
              </a>
            )}
          </li>
        ))}
      </ul>
    </div>
  )
}
