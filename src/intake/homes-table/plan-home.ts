import { instantOn } from '../../domain/calendar/local-day.ts'
import { type FileHome, isSameFan, isSamePerson, personText } from './gather-homes.ts'
import type { PersonCells, SystemCells, TestCells } from './home-facts.ts'
import type { RecordFacts } from './record-queries.ts'
import { type FoundationNamed, foundationsNamed } from './trade-words.ts'

export type OtherRole = 'co-owner' | 'tenant' | 'property-manager'
export type SystemPlan = {
  /** The system on record that the parts belong to; null: a new one. */
  readonly to: string | null
  readonly cells: SystemCells
}
/** What a commit would write for one home. */
export type HomePlan = {
  readonly home: FileHome
  /** null: the home is taken up. */
  readonly on: RecordFacts | null
  readonly owner: PersonCells | null
  readonly others: readonly { readonly role: OtherRole; readonly person: PersonCells }[]
  readonly systems: readonly SystemPlan[]
  readonly tests: readonly TestCells[]
  /** Of a home on record, what of the house itself it does not know. */
  readonly fill: HouseFacts
  /** Lines for one note. */
  readonly note: readonly string[]
}

export type HouseFacts = { readonly yearBuilt: number | null; readonly foundation: readonly FoundationNamed[] }
const nothing: HouseFacts = { yearBuilt: null, foundation: [] }
export const fillsIn = ({ yearBuilt, foundation }: HouseFacts): boolean => yearBuilt !== null || foundation.length > 0

/** What of a file's home the record does not know yet. Nothing on record is changed: what differs goes into a note. */
export function planHome(home: FileHome, on: RecordFacts | null): HomePlan {
  const others = [
    ...(home.secondOwner ? [{ role: 'co-owner' as const, person: home.secondOwner }] : []),
    ...home.tenants.map(person => ({ role: 'tenant' as const, person })),
    ...home.managers.map(person => ({ role: 'property-manager' as const, person })),
  ]
  if (!on)
    return {
      ...{ home, on, others },
      owner: home.owner,
      systems: home.systems.map(cells => ({ to: null, cells })),
      tests: home.tests,
      fill: nothing,
      note: home.notes,
    }
  const isKnown = (person: PersonCells) => on.names.some(name => isSamePerson(person, { name }))
  const owner = home.owner && !isKnown(home.owner) ? home.owner : null
  const foundation = home.foundation === null || on.hasFoundation ? [] : foundationsNamed(home.foundation)
  const lines = [
    ...home.notes,
    ...(owner && on.everOwned ? [`Owner named: ${personText(owner)}`] : []),
    ...(home.yearBuilt !== null && on.yearBuilt !== null && on.yearBuilt !== home.yearBuilt
      ? [`Year built: ${home.yearBuilt}; on record it is ${on.yearBuilt}`]
      : []),
    ...(home.foundation !== null && !on.hasFoundation && foundation.length === 0
      ? [`Foundation: ${home.foundation}`]
      : []),
  ]
  return {
    ...{ home, on },
    owner: on.everOwned ? null : owner,
    others: others.filter(({ person }) => !isKnown(person)),
    systems: systemsFor(home, on),
    fill: { yearBuilt: on.yearBuilt === null ? home.yearBuilt : null, foundation },
    tests: home.tests.filter(test => !on.results.some(result => isSameResult(test, result, on.zone))),
    note: lines.filter(line => !on.notes.some(note => note.includes(line))),
  }
}

/** Whether a plan writes nothing: everything is on record. */
export const isNothingNew = ({ on, owner, others, systems, tests, fill, note }: HomePlan): boolean =>
  on !== null && owner === null && !fillsIn(fill) && others.length + systems.length + tests.length + note.length === 0

function systemsFor(home: FileHome, on: RecordFacts): readonly SystemPlan[] {
  const taken = new Set<string>()
  return home.systems.flatMap((cells): SystemPlan[] => {
    const known = on.systems.find(
      ({ id, tag }) => !taken.has(id) && (cells.tag === null || tag === null || tag === cells.tag),
    )
    if (!known) return [{ to: null, cells }]
    taken.add(known.id)
    const fresh: SystemCells = {
      ...cells,
      installed: known.dated ? null : cells.installed,
      fans: cells.fans.filter(fan => !known.fans.some(one => isSameFan(fan, one))),
      gauges: cells.gauges.filter(g => !known.gauges.some(one => one.value === g.value && one.unit === g.unit)),
      alarm: known.alarm ? null : cells.alarm,
    }
    const nothing = fresh.installed === null && fresh.alarm === null && fresh.fans.length + fresh.gauges.length === 0
    return nothing ? [] : [{ to: known.id, cells: fresh }]
  })
}

/** The moment a test of a day is said to have ended: its noon, as no hour is known. */
export const endOfTest = (day: string, zone: string): number => instantOn(day, '12:00', zone)

function isSameResult(test: TestCells, result: RecordFacts['results'][number], zone: string): boolean {
  return (
    test.value === result.value &&
    test.unit === result.unit &&
    test.qualifier === result.qualifier &&
    test.purpose === result.purpose &&
    (test.day === null
      ? result.stopAt === null && result.note === dateNote(test)
      : result.stopAt === endOfTest(test.day, zone))
  )
}

/** What is noted of a test whose day is not known. */
export const dateNote = ({ dateAsWritten }: TestCells): string =>
  dateAsWritten === '' ? '' : `Its date in the old records: ${dateAsWritten}`
