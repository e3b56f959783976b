import { RadioField } from '../../web/choice-field.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import type { Double } from '../homes-table/find-doubles.ts'
import { personText } from '../homes-table/gather-homes.ts'
import { undecidedFirst } from '../homes-table/kept-look.ts'

const SHOWN = 50
const CHOICES = [
  { value: 'same', words: 'The same home: both histories are kept as one' },
  { value: 'other', words: 'Another home' },
]

type Props = {
  readonly id: string
  readonly version: number
  readonly csrf: string
  readonly doubles: readonly Double[]
  /** Pairs nobody has decided on, of which the first are shown. */
  readonly undecided: number
}

/** Homes that may be one, side by side. Nothing is put together that a person has not said is the same. */
export function DoublesView({ id, version, csrf, doubles, undecided: open }: Props): JSX.Element {
  if (doubles.length === 0) return <></>
  const shown = undecidedFirst(doubles).slice(0, SHOWN)
  return (
    <section id="doubles">
      <h2 safe>
        {open === 0 ? 'Likely doubles, all decided' : `${open} ${open === 1 ? 'pair' : 'pairs'} may be one home`}
      </h2>
      <p>
        Rows with the very same address are one home already. These are written differently: say of each pair what it
        is.
      </p>
      <Form
        id="form-doubles"
        action={paths.importStep(id, 'tell')}
        submit="Keep what I said"
        busy="Keeping…"
        csrf={csrf}
        version={version}
      >
        <input type="hidden" name="part" value="doubles" />
        {shown.map(double => (
          <Pair double={double} />
        ))}
        {open > 0 ? (
          <RadioField
            name="the-rest"
            label="Every pair above that I say nothing of"
            choices={[
              { value: '', words: 'stays open' },
              { value: 'other', words: 'is two homes' },
              { value: 'same', words: 'is one home' },
            ]}
            value=""
          />
        ) : (
          ''
        )}
      </Form>
    </section>
  )
}

function Pair({ double }: { double: Double }): JSX.Element {
  const { id, home, other, why, said } = double
  return (
    <div class="double">
      <input type="hidden" name="pair" value={id} />
      <div class="side-by-side">
        <Side words={`Row ${rowsOf(home)}`} lines={linesOf(home)} />
        {other.kind === 'file' ? (
          <Side words={`Row ${rowsOf(other.home)}`} lines={linesOf(other.home)} />
        ) : (
          <div>
            <p class="hint">On record</p>
            <p>
              <a href={paths.home(other.home.id)} safe>
                {other.home.address}
              </a>
            </p>
            <p safe>{other.home.owner ?? 'No owner is known'}</p>
          </div>
        )}
      </div>
      <RadioField name={`double-${id}`} label={`Here ${why}.`} choices={CHOICES} value={said} />
    </div>
  )
}

const Side = ({ words, lines }: { words: string; lines: readonly string[] }): JSX.Element => (
  <div>
    <p class="hint" safe>
      {words}
    </p>
    {lines.map(line => (
      <p safe>{line}</p>
    ))}
  </div>
)

const rowsOf = ({ rows }: Double['home']): string =>
  rows.map(({ sheet, line }) => (sheet === '' ? String(line) : `${line} of ${sheet}`)).join(', ')

function linesOf({ address, owner, systems, tests }: Double['home']): string[] {
  const { street, unit, city, region, postcode } = address
  const fan = systems.flatMap(({ fans }) => fans)[0]
  return [
    [street, unit, city, [region, postcode].filter(part => part).join(' ')].filter(part => part !== '').join(', '),
    owner ? personText(owner) : 'No owner is named',
    ...(fan ? [`Fan ${[fan.model, fan.serial].filter(part => part).join(', ')}`] : []),
    ...tests.map(({ qualifier, value, unit: of, day, dateAsWritten }) =>
      [`${qualifier === '=' ? '' : qualifier}${value} ${of.replace('m3', 'm³')}`, day ?? dateAsWritten]
        .filter(part => part)
        .join(', '),
    ),
  ]
}
