import type { RowFault } from '../table/row-fault.ts'
import type { FileHome } from './gather-homes.ts'

/** What is wrong with a home, told of each of its rows. */
export const faultsOf = (home: FileHome, what: Pick<RowFault, 'problem' | 'remedy'>, column = 'home'): RowFault[] =>
  home.rows.map(place => ({ ...place, column, value: home.id ?? addressWords(home), ...what }))

const addressWords = ({ address: { street, city } }: FileHome): string => [street, city].filter(part => part).join(', ')

/** A row's place as one text. */
export const placeOf = ({ sheet = '', line }: { readonly sheet?: string; readonly line: number }): string =>
  `${sheet}:${line}`
