import { type ReadName, readName } from './read-person.ts'

type Name = NonNullable<ReadName>
export type OwnersRead = {
  readonly first: ReadName
  readonly second: Name | null
  /** The cell may name two people, and does not say so plainly: it stays one name. */
  readonly unclear: boolean
}

const JOINT = /\s*(?:&|\+|\/|;|\band\b)\s*/i
const GIVEN = String.raw`\p{L}[\p{L}'’-]*\.?(?: \p{L}\.?)?`
const SURNAME = String.raw`\p{L}[\p{L}'’-]+`
const AND = String.raw`\s*(?:&|\+|\band\b)\s*`
/** `John & Mary Smith` */
const ONE_SURNAME = new RegExp(`^(${GIVEN})${AND}(${GIVEN}) (${SURNAME})$`, 'iu')
/** `Smith, John & Mary` */
const SURNAME_FIRST = new RegExp(`^(${SURNAME}), ?(${GIVEN})${AND}(${GIVEN})$`, 'iu')
const TITLE = /^(?:mr|mrs|ms|miss|dr)\.?$/i

/** The owners a cell names: two where it plainly says so, otherwise one as it is written. */
export function readOwners(cell: string): OwnersRead {
  const whole = readName(cell)
  if (whole?.kind !== 'person' || !JOINT.test(cell)) return { first: whole, second: null, unclear: false }
  const [first, second] = plainlyTwo(cell.replaceAll(/\s+/g, ' ').trim()) ?? []
  return first && second ? { first, second, unclear: false } : { first: whole, second: null, unclear: true }
}

function plainlyTwo(cell: string): readonly ReadName[] | null {
  const married = ONE_SURNAME.exec(cell)
  if (married && !TITLE.test(married[1]!) && !TITLE.test(married[2]!))
    return [readName(`${married[1]} ${married[3]}`), readName(`${married[2]} ${married[3]}`)]
  const turned = SURNAME_FIRST.exec(cell)
  if (turned) return [readName(`${turned[2]} ${turned[1]}`), readName(`${turned[3]} ${turned[1]}`)]
  // `J. Smith / M. Jones`: each side is a whole name.
  const sides = cell.split(JOINT)
  const whole =
    sides.length === 2 && sides.every(side => /\S\s+\S*\p{L}{2}/u.test(side) && !TITLE.test(side.split(' ')[0]!))
  return whole ? sides.map(readName) : null
}
