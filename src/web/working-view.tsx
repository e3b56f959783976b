import type { RuleRef, Working } from '../domain/answers.ts'
import { unitWords } from './quantity-text.tsx'

/** Where a rule stands: instrument, clause and year, with a mark when it was not checked against the document. */
export function ClauseText({ rule }: { rule: RuleRef }): JSX.Element {
  const year = rule.year === null ? '' : ` (${rule.year})`
  return (
    <span class="clause">
      <cite safe>{`${rule.instrument}${year}`}</cite> <span safe>{rule.clause}</span>
      {rule.status === 'unverified' ? <span class="unverified"> unverified: check it in the document</span> : ''}
    </span>
  )
}

/** How an answer came about, opening in place: inputs, the calculation aligned at its relations, the clause beside it. */
export function WorkingView({ working, open }: { working: Working; open?: boolean }): JSX.Element {
  return (
    <details class="working" open={open}>
      <summary>
        Why? <span class="unseen">The working of: </span>
        <span class="working-title" safe>
          {working.title}
        </span>
      </summary>
      <WorkingSheet working={working} />
    </details>
  )
}

/** The working without the fold, for papers and for pages that are about it. */
export function WorkingSheet({ working }: { working: Working }): JSX.Element {
  return (
    <div class="sheet">
      <div class="reckoning">
        {working.inputs.length > 0 ? <Inputs inputs={working.inputs} /> : ''}
        {working.lines.length > 0 ? <Lines working={working} /> : ''}
        <p class="outcome" safe>
          {unitWords(working.outcome)}
        </p>
      </div>
      {working.rule ? (
        <div class="by-rule">
          <ClauseText rule={working.rule} />
        </div>
      ) : (
        ''
      )}
    </div>
  )
}

const Inputs = ({ inputs }: Pick<Working, 'inputs'>): JSX.Element => (
  <dl class="inputs">
    {inputs.map(({ label, value }) => (
      <div>
        <dt safe>{label}</dt>
        <dd safe>{unitWords(value)}</dd>
      </div>
    ))}
  </dl>
)

const Lines = ({ working }: { working: Working }): JSX.Element => (
  <table class="lines">
    <caption class="unseen" safe>{`The calculation: ${working.title}`}</caption>
    <thead class="unseen">
      <tr>
        <th scope="col">Left side</th>
        <th scope="col">Relation</th>
        <th scope="col">Right side</th>
        <th scope="col">Note</th>
      </tr>
    </thead>
    <tbody>
      {working.lines.map(({ left, relation, right, note }) => (
        <tr>
          <td class="left" safe>
            {unitWords(left)}
          </td>
          <td class="relation" safe>
            {relation}
          </td>
          <td class="right" safe>
            {unitWords(right)}
          </td>
          <td class="note" safe>
            {unitWords(note ?? '')}
          </td>
        </tr>
      ))}
    </tbody>
  </table>
)
