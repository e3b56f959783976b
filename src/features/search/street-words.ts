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
  ['apartment', 'apt'],
  ['north', 'n'],
  ['south', 's'],
  ['east', 'e'],
  ['west', 'w'],
]

/** Other ways of writing a street word: `dr` → `drive`, `drive` → `dr`. */
export const otherSpellings = (word: string): string[] =>
  pairs.flatMap(([long, short]) => (word === long ? [short] : word === short ? [long] : []))
