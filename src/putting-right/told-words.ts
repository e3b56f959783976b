import type { ReadingChange, Told } from './correction-rows.ts'

/** Where a result is: `Line 2, 12 Foundry Lane, Duluth, Basement`. */
export const whereWords = ({ line, home, room, of }: Pick<ReadingChange, 'line' | 'home' | 'room' | 'of'>): string =>
  [line === null ? '' : `Line ${line}`, home, room, of].filter(words => words).join(', ')

const changed = ({ before, after }: ReadingChange['result']): string =>
  before === after ? `${before}, as before` : `${before} → ${after}`

/** What is told as one sentence: `12 Foundry Lane, Basement: 41 pCi/L → 41 Bq/m³ (1.1 pCi/L); Tue 14 Oct 2025, 17:30 CDT to …, as before`. */
export const toldWords = (told: Told): string =>
  typeof told === 'string' ? told : `${whereWords(told)}: ${changed(told.result)}; ${changed(told.period)}`
