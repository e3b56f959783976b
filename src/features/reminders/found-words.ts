import { conversionWords, quantityWords } from '../../web/quantity-text.tsx'
import { verdictWords } from '../../web/verdict-mark.tsx'
import type { Known } from './claim.ts'

/** What was last found, as reported with its conversion, and how it stands to the level; null when nothing was. */
export function foundWords(known: Known | null): string | null {
  if (!known?.compared || known.outcome === 'undetermined') return null
  const conversion = conversionWords(known.compared)
  const value = quantityWords(known.compared) + (conversion === null ? '' : ` (${conversion})`)
  return `What we last found: ${value}. ${verdictWords({ ...known, reason: null })}.`
}
