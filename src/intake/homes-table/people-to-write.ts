import { writeCustomers } from '../../features/customers/create-customer.ts'
import { type Db, sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { PersonCells } from './home-facts.ts'
import type { HomePlan } from './plan-home.ts'

const plain = (name: string): string =>
  name
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()

/** What makes two people one: the name with the same phone or mail address; of a company the name alone. */
const keysOf = ({ kind, name, phone, email }: PersonCells): readonly string[] => [
  ...(phone ? [`${plain(name)} ${phone}`] : []),
  ...(email ? [`${plain(name)} ${email}`] : []),
  ...(kind === 'company' ? [`company ${plain(name)}`] : []),
]

const known = sql(
  'import-known-people',
  `select id, kind, name, phone, lower(email) as email from customer where voided_at is null
      and (phone = any($1::text[]) or lower(email) = any($2::text[]) or (kind = 'company' and lower(name) = any($3::text[])))`,
)

/** Customers by what makes them the same; those an import has written are among them from then on. */
export type KnownPeople = Map<string, string>

/** People asked for in one statement: each reads all customers once. */
const AT_ONCE = 5_000

/** The people whom a table names, and the customers on record who may be they. */
export class PeopleMet {
  readonly #db: Db
  readonly #found: KnownPeople = new Map()
  #asked: PersonCells[] = []

  constructor(db: Db) {
    this.#db = db
  }

  async meet(people: readonly PersonCells[]): Promise<void> {
    this.#asked.push(...people)
    if (this.#asked.length >= AT_ONCE) await this.#ask()
  }

  async known(): Promise<KnownPeople> {
    await this.#ask()
    return this.#found
  }

  async #ask(): Promise<void> {
    const people = this.#asked
    this.#asked = []
    const rows = await this.#db.rows<PersonCells & { id: string }>(known, [
      people.flatMap(({ phone }) => phone ?? []),
      people.flatMap(({ email }) => email ?? []),
      people.flatMap(({ kind, name }) => (kind === 'company' ? [name.toLowerCase()] : [])),
    ])
    for (const { id, ...person } of rows)
      for (const key of keysOf(person)) {
        const before = this.#found.get(key)
        // Of several, the one that was written first.
        if (before === undefined || id < before) this.#found.set(key, id)
      }
  }
}

export const peopleOf = ({ owner, others }: HomePlan): readonly PersonCells[] => [
  ...(owner ? [owner] : []),
  ...others.map(({ person }) => person),
]

/** The customer of each person named, written where they are not known; gives the ids, and which are new. */
export async function customersFor(
  tx: Tx,
  act: Act,
  people: readonly PersonCells[],
  known: KnownPeople,
): Promise<{ readonly ids: ReadonlyMap<PersonCells, string>; readonly made: readonly string[] }> {
  const groups: { readonly person: PersonCells; readonly all: PersonCells[] }[] = []
  const groupOf = new Map<string, (typeof groups)[number]>()
  const ids = new Map<PersonCells, string>()
  for (const person of people) {
    const keys = keysOf(person)
    const id = keys.map(key => known.get(key)).find(found => found !== undefined)
    const group = keys.map(key => groupOf.get(key)).find(found => found !== undefined)
    if (id) ids.set(person, id)
    else if (group) group.all.push(person)
    else {
      const fresh = { person, all: [person] }
      groups.push(fresh)
      for (const key of keys) groupOf.set(key, fresh)
    }
  }
  const made =
    groups.length === 0
      ? []
      : await writeCustomers(
          tx,
          act,
          groups.map(({ person }) => person),
        )
  for (const [i, { all }] of groups.entries())
    for (const person of all) {
      ids.set(person, made[i]!)
      for (const key of keysOf(person)) known.set(key, made[i]!)
    }
  return { ids, made }
}
