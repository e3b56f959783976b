import type { FieldFault } from '../../web/error-summary.tsx'
import { Field, NumberField } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import type { KitLimitRow } from './kit-limit-queries.ts'
import { methodWords } from './words.ts'

type Props = {
  readonly limits: readonly KitLimitRow[]
  /** The kind whose form came back. */
  readonly method: string
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
}

const fields = [
  ['askAfterDays', 'Ask for the days after', 'Days since the kit was left'],
  ['longestExposureDays', 'Longest exposure', 'Days from opening to closing'],
  ['laboratoryWithinDays', 'At the laboratory within', 'Days from the end of the exposure; empty where none reads it'],
  ['answerWithinDays', 'Answer within', 'Days since it was posted'],
] as const

/** What the company expects of each kind of kit, and where its days come from. */
export const LimitsView = ({ limits, method, typed, faults, csrf }: Props): JSX.Element => (
  <>
    <h1>Days for kits</h1>
    <p>
      After these days a kit stands on the list of <a href={paths.chase()}>devices to chase</a>. They begin as common
      practice, without a source: put in your laboratory’s own, and say where they are written.
    </p>
    {limits.map(limit => {
      const came = limit.method === method
      const value = (name: string, now: string | number | null) =>
        came ? textIn(typed, `${limit.method}-${name}`) : String(now ?? '')
      return (
        <section>
          <h2 safe>{capital(methodWords[limit.method])}</h2>
          <Form
            action={`${paths.kitLimits()}/${limit.method}`}
            submit="Keep these days"
            csrf={csrf}
            version={limit.version}
            faults={came ? faults : []}
          >
            {fields.map(([name, label, hint]) => (
              <NumberField
                name={`${limit.method}-${name}`}
                label={label}
                unit="days"
                hint={hint}
                value={value(name, limit[name])}
                faults={came ? faults : []}
              />
            ))}
            <Field
              name={`${limit.method}-source`}
              label="Where these days come from"
              value={value('source', limit.source)}
              faults={came ? faults : []}
            />
          </Form>
        </section>
      )
    })}
  </>
)

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)
