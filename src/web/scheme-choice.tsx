import { paths } from './paths.ts'
import type { Scheme } from './scheme.ts'

const choices = [
  ['light', 'Light'],
  ['dark', 'Dark'],
  ['', 'As the device'],
] as const

/** Light, dark, or as the device has it: one tap, without script. */
export const SchemeChoice = ({ scheme, here }: { scheme: Scheme; here: string }): JSX.Element => (
  <form class="scheme" action={paths.scheme()} method="post">
    <input type="hidden" name="back" value={here} />
    <span id="scheme-label">Colours:</span>
    {choices.map(([value, words]) => (
      <button
        type="submit"
        name="scheme"
        value={value}
        class="quiet"
        aria-pressed={value === (scheme ?? '') ? 'true' : 'false'}
        aria-describedby="scheme-label"
        safe
      >
        {words}
      </button>
    ))}
  </form>
)
