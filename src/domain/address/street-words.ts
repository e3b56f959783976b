// Street words as people shorten them (United States Postal Service, Publication 28, appendix C1, the common ones).
const pairs: readonly (readonly [string, string])[] = [
  ['avenue', 'ave'],
  ['boulevard', 'blvd'],
  ['circle', 'cir'],
  ['court', 'ct'],
  ['drive', 'dr'],
  ['highway', 'hwy'],
  ['lane', 'ln'],
  ['mount', 'mt'],
  ['parkway', 'pkwy'],
  ['place', 'pl'],
  ['road', 'rd'],
  ['saint', 'st'],
  ['square', 'sq'],
  ['street', 'st'],
  ['terrace', 'ter'],
  ['trail', 'trl'],
  ['crossing', 'xing'],
  ['point', 'pt'],
  ['ridge', 'rdg'],
  ['apartment', 'apt'],
  ['north', 'n'],
  ['south', 's'],
  ['east', 'e'],
  ['west', 'w'],
]

/** Other ways of writing a street word: `dr` → `drive`, `drive` → `dr`. */
export const otherSpellings = (word: string): string[] =>
  pairs.flatMap(([long, short]) => (word === long ? [short] : word === short ? [long] : []))

const shortest = new Map([
  ...pairs,
  // Other ways that people write them (the same table's second column).
  ['av', 'ave'],
  ['aven', 'ave'],
  ['avn', 'ave'],
  ['boul', 'blvd'],
  ['boulv', 'blvd'],
  ['crcl', 'cir'],
  ['crt', 'ct'],
  ['drv', 'dr'],
  ['highwy', 'hwy'],
  ['parkwy', 'pkwy'],
  ['pky', 'pkwy'],
  ['str', 'st'],
  ['strt', 'st'],
  ['terr', 'ter'],
  ['trl', 'trl'],
  ['northeast', 'ne'],
  ['northwest', 'nw'],
  ['southeast', 'se'],
  ['southwest', 'sw'],
  ['no', 'n'],
  ['so', 's'],
] as const)

const shortForms: ReadonlySet<string> = new Set(shortest.values())
/** Whether a word is the short form of a street word, and so may be written out elsewhere. */
export const isShortForm = (word: string): boolean => shortForms.has(word)

/** The one short way of writing a street word; any other word as it is. */
export const shortStreetWord = (word: string): string => (shortest as ReadonlyMap<string, string>).get(word) ?? word
