import type { RadonUnit } from '../../domain/facts.ts'

/** Not after a letter: `kBq/m3` and `nCi/L` are other units. */
const PCI_L =
  /(?<![a-zµμ])(?:p\s?ci\s*(?:[/·*.]|per)?\s*(?:l(?:it(?:er|re))?)(?:\s*\^?\s*[-−⁻]\s*[1¹])?|pico\s?curies?\s*(?:\/|per)\s*lit(?:er|re))(?![a-z])/i
const BQ_M3 =
  /(?<![a-zµμ])(?:bq\s*(?:[/·*.]|per)?\s*(?:m\s*(?:\^|\*\*)?\s*[-−⁻]?\s*[3³]|cbm|cubic met(?:er|re))|becquerels?\s*(?:\/|per)\s*(?:m\s*\^?\s*[3³]|cubic met(?:er|re)))(?![a-z\d])/i
const OTHER = /(?<![a-z])(?:[kMmGµμn]\s?bq|[nµμmk]\s?ci|bq\s*\/\s*l|wl\b|wlm\b)/i

/** The radon unit a text names: one, `other` for one we do not read, `both`, or `null` for none. */
export function unitIn(text: string): RadonUnit | 'other' | 'both' | null {
  const pci = PCI_L.test(text)
  const bq = BQ_M3.test(text)
  if (pci && bq) return 'both'
  if (pci) return 'pCi/L'
  if (bq) return 'Bq/m3'
  return OTHER.test(text) ? 'other' : null
}

/** A cell such as `3.5 pCi/L`, without its unit. */
export const withoutUnit = (cell: string): string => cell.replace(PCI_L, '').replace(BQ_M3, '').trim()
