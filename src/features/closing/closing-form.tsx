import { closingAsks, closingMethods } from '../../domain/closing/closing-question.ts'
import { choicesFrom, RadioField, SelectField } from '../../web/choice-field.tsx'
import { ErrorSummary, type FieldFault } from '../../web/error-summary.tsx'
import { MomentFields } from '../../web/moment-fields.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { askWords, methodWords } from './closing-words.ts'

/** The question as it is asked on the phone; asking changes nothing, so that an answer has an address. */
export const ClosingForm = ({
  homeId,
  typed,
  faults,
}: {
  homeId: string
  typed: TypedFields
  faults: readonly FieldFault[]
}): JSX.Element => (
  <form action={paths.homeClosing(homeId)} method="get" novalidate>
    <ErrorSummary faults={faults} />
    <RadioField
      name="asks"
      label="What is asked"
      choices={choicesFrom(askWords)}
      value={textIn(typed, 'asks') || closingAsks[0]}
      faults={faults}
    />
    <SelectField
      name="method"
      label="Tested with"
      choices={choicesFrom(methodWords)}
      value={textIn(typed, 'method') || closingMethods[0]}
      faults={faults}
    />
    <MomentFields name="by" label="By" ahead typed={typed} faults={faults} />
    <p class="hint">
      By the clock at the home. For a post-mitigation test it may be left empty: then the rule after the fan start
      counts.
    </p>
    <div class="actions">
      <button type="submit" class="primary">
        Reckon it
      </button>
      <a class="cancel" href={paths.home(homeId)}>
        Back to the home
      </a>
    </div>
  </form>
)
