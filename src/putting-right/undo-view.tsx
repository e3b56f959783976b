import type { LocalDay } from '../domain/facts.ts'
import { attributeText } from '../web/attribute-text.ts'
import { correctionWords } from '../web/correction-words.ts'
import { Form } from '../web/form.tsx'
import { paths } from '../web/paths.ts'
import { ChangesTable } from './changes-view.tsx'
import type { Undone } from './undo-correction.ts'

type Props = Undone & { readonly reason: string; readonly csrf: string; readonly today: LocalDay }

/** What undoing would change, before it is done. */
export const UndoView = ({ correction, standings, tag, reason, csrf, today }: Props): JSX.Element => (
  <>
    <h1>What undoing changes</h1>
    <p class="under-title" safe>
      {correctionWords(correction)}
    </p>
    <ChangesTable title="Each home, before and after it is undone" homes={standings} today={today} />
    <p safe>{`Reason: ${reason}`}</p>
    <Form
      action={paths.undoCorrection(correction.id)}
      submit="Undo it"
      csrf={csrf}
      cancel={{ href: paths.correction(correction.id) }}
    >
      <input type="hidden" name="reason" value={attributeText(reason)} />
      <input type="hidden" name="tag" value={tag} />
    </Form>
  </>
)
