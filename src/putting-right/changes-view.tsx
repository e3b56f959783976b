import type { LocalDay } from '../domain/facts.ts'
import { owedWords } from '../web/owed-words.ts'
import { paths } from '../web/paths.ts'
import { QuantityText } from '../web/quantity-text.tsx'
import { Table, Text } from '../web/table.tsx'
import { VerdictMark } from '../web/verdict-mark.tsx'
import type { Told } from './correction-rows.ts'
import type { Brief, HomeChange } from './home-change.ts'
import { ReadingsTable } from './read-again/readings-table.tsx'

type Props = { readonly homes: readonly HomeChange[]; readonly today: LocalDay; readonly title: string }

/** Where each home stands before and after a correction, in the words of the home's own page. */
export function ChangesTable({ homes, today, title }: Props): JSX.Element {
  if (homes.length === 0) return <p>It touches no home.</p>
  return (
    <Table
      caption={title}
      columns={[{ words: 'Home' }, { words: 'Before' }, { words: 'After' }]}
      rows={homes.map(home => [
        <a href={paths.home(home.propertyId)} safe>
          {home.address}
        </a>,
        <Stands brief={home.before} today={today} />,
        home.changed ? <Stands brief={home.after} today={today} /> : <Text of="Nothing changes here." />,
      ])}
    />
  )
}

function Stands({ brief, today }: { brief: Brief; today: LocalDay }): JSX.Element {
  const { verdict, owed, voided } = brief
  return (
    <div class="stands">
      {voided ? <p>Voided: it is found no more and owes nothing.</p> : ''}
      <p>
        <VerdictMark {...verdict} />
      </p>
      {verdict.compared ? (
        <p>
          <QuantityText {...verdict.compared} />
        </p>
      ) : (
        ''
      )}
      {owed.length === 0 ? <p>Nothing is owed.</p> : ''}
      {owed.map(obligation => (
        <p safe>{owedWords({ ...obligation, because: [] }, today)}</p>
      ))}
    </div>
  )
}

/** What comes along, what is cut loose, what a file then says. */
export function ToldList({ told }: { told: readonly Told[] }): JSX.Element {
  if (told.length === 0) return ''
  const changes = told.filter(one => typeof one !== 'string')
  const sentences = told.filter(one => typeof one === 'string')
  return (
    <section>
      <h2>What becomes of the records</h2>
      {changes.length > 0 ? <ReadingsTable changes={changes} /> : ''}
      {sentences.length > 0 ? (
        <ul class="ruled">
          {sentences.map(line => (
            <li safe>{line}</li>
          ))}
        </ul>
      ) : (
        ''
      )}
    </section>
  )
}
