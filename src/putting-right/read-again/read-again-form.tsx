import type { ImportBatch } from '../../intake/import-rows.ts'
import { choicesOf, partWords } from '../../intake/view/part-choices.ts'
import { SelectField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { type PartToTell, partsAsRead } from './read-again-typed.ts'

type Props = {
  readonly batch: ImportBatch
  /** Zones whose clock the monitor may have shown, the likeliest first. */
  readonly zones: readonly string[]
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
  readonly csrf: string
}

/** How a kept file was read, to be changed; or why it is not read again. */
export function ReadAgainForm({ batch, zones, typed, faults, csrf }: Props): JSX.Element {
  const parts = Object.entries(partsAsRead(batch)) as [PartToTell, unknown][]
  return (
    <>
      <h1>Read a file again</h1>
      <p class="under-title">
        <a href={paths.import(batch.id)} safe>
          {batch.fileName}
        </a>
      </p>
      {batch.state === 'committed' && parts.length > 0 ? (
        <Form
          action={paths.importStep(batch.id, 'read-again')}
          submit="See what would change"
          busy="Reading…"
          csrf={csrf}
          faults={faults}
          cancel={{ href: paths.import(batch.id) }}
        >
          <p>
            It stands below as it was read. Results that say something else then are struck through and stand beside the
            new ones; rooms, devices and what people put in since stay.
          </p>
          {parts.map(([part, now]) => (
            <SelectField
              name={part}
              label={partWords[part]}
              choices={choicesFor(part, batch, zones)}
              value={textIn(typed, part) || (now === null ? '' : JSON.stringify(now))}
              empty={now === null ? emptyWords(part) : undefined}
              faults={faults}
            />
          ))}
          <Field
            name="reason"
            label="Why it is read again"
            hint="It stays in the history: the laboratory writes Bq/m³"
            value={textIn(typed, 'reason')}
            maxlength={500}
            faults={faults}
            required
          />
        </Form>
      ) : (
        <p class="note" safe>
          {whyNot(batch)}
        </p>
      )}
    </>
  )
}

const emptyWords = (part: PartToTell): string => (part === 'unit' ? 'As each row says' : 'As the file shows')

function choicesFor(part: PartToTell, { reading: kept }: ImportBatch, zones: readonly string[]) {
  // The choices of a clock are the same for every file; those of the other parts need no file.
  const reading = kept.reading as Parameters<typeof choicesOf>[1]
  const all = zones.flatMap(zone => choicesOf(part, reading, zone))
  const now = part === 'clock' && kept.kind === 'monitor-record' ? kept.reading?.clock : null
  const offered = all.map(({ value, words }) => ({ value: JSON.stringify(value), words }))
  const known = now?.kind === 'zone' && !zones.includes(now.zone) ? choicesOf('clock', reading, now.zone)[0] : undefined
  if (known) offered.unshift({ value: JSON.stringify(known.value), words: known.words })
  return offered.filter(({ value }, i) => offered.findIndex(other => other.value === value) === i)
}

const whyNot = ({ state, reading }: ImportBatch): string =>
  state !== 'committed'
    ? 'Only a file that was saved, and not undone, can be read again.'
    : reading.kind === 'homes-table'
      ? 'A table of homes made more than results, so it is not read again: undo the import, and bring the table in anew as it is to be read.'
      : 'How this file was read is not known.'
