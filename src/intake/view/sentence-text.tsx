import { paths } from '../../web/paths.ts'
import type { How, ReadingPart } from '../monitor-file/reading.ts'
import type { Segment } from '../monitor-file/sentence.ts'

/** The file read back: every underlined word opens its choices. */
export const SentenceText = ({
  importId,
  sentence,
}: {
  importId: string
  sentence: readonly Segment[]
}): JSX.Element => (
  <p class="read-back">
    {sentence.map(({ text, part, by }) =>
      part === null ? (
        <span safe>{text}</span>
      ) : (
        <a href={`${paths.import(importId)}?part=${part}#tell-${part}`} class={`told-${by ?? 'seen'}`} safe>
          {text}
        </a>
      ),
    )}
  </p>
)

const NAMES: Partial<Record<ReadingPart, string>> = {
  stamp: 'the stamp',
  clock: 'the clock',
  deviceCorrectedFirstHours: 'the first hours',
  decimalMark: 'the decimal mark',
  columns: 'the column',
}

/** What was taken for want of anything better, and why. */
export function AssumedList({ how }: { how: Readonly<Partial<Record<ReadingPart, How>>> }): JSX.Element | string {
  const assumed = (Object.entries(how) as [ReadingPart, How][]).filter(
    ([part, { by, why }]) => by === 'assumed' && part !== 'repeatedHour' && why !== '',
  )
  if (assumed.length === 0) return ''
  return (
    <details class="assumed">
      <summary safe>{`${assumed.length} things are taken, not read: look whether they hold`}</summary>
      <ul>
        {assumed.map(([part, { why }]) => (
          <li safe>{`${NAMES[part] ?? part}: ${why}`}</li>
        ))}
      </ul>
    </details>
  )
}
