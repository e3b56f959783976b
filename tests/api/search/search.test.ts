import pino from 'pino'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { searchHomes } from '../../../src/features/search/search-homes.ts'
import { type Database, openDatabase } from '../../../src/platform/db/client.ts'
import { aDatabase, type TestDatabase } from '../../support/database.ts'
import { aGrant, anAppRow, anAssignment, aStaffMember, aVisitRow } from '../../support/rows.ts'
import { manyHomes, type Remembered } from './many-homes.ts'

const office = {
  actor: {
    kind: 'staff',
    id: '00000099-0000-7000-8000-000000000001',
    name: 'Office',
    roles: ['office'],
    sessionId: '',
  },
  now: Date.UTC(2026, 5, 1),
} as const

let at: TestDatabase
let db: Database
let homes: Remembered[]

beforeAll(async () => {
  at = await aDatabase()
  db = openDatabase({ url: at.url, log: pino({ level: 'silent' }) })
  homes = await manyHomes(db.pool, 1200)
  await db.pool.query('analyze')
})
afterAll(async () => {
  await db.close()
  await at.drop()
})

const found = async (typed: string) => searchHomes(db, office, typed, 20, () => true)
const swapped = (word: string) => `${word.slice(0, 1)}${word[2]}${word[1]}${word.slice(3)}`
const dropped = (word: string) => word.slice(0, 3) + word.slice(4)
const doubled = (word: string) => word.slice(0, 3) + word.slice(2)
const plain = (words: string) =>
  words
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .replaceAll('Ø', 'O')
    .replaceAll('ø', 'o')
    .replaceAll('Ł', 'L')
    .replaceAll('ł', 'l')
    .replaceAll('å', 'a')
    .replaceAll('’', "'")
const last = (name: string) => name.split(' ')[1]!
const number = (home: Remembered) => home.street.split(' ')[0]!
const streetName = (home: Remembered) => home.street.split(' ')[1]!

/** How people ask, one way after the other; each home of the list is asked for in the next way. */
const ways: Record<string, (home: Remembered) => string> = {
  'half an address': home => home.street.split(' ').slice(0, 2).join(' '),
  'number and mistyped street': home => `${number(home)} ${swapped(streetName(home))}`,
  'street with a letter missing, and the town': home => `${number(home)} ${dropped(streetName(home))} ${home.city}`,
  'address all in small letters with a short street word': home =>
    home.street
      .toLowerCase()
      .replace('street', 'st')
      .replace('avenue', 'ave')
      .replace('drive', 'dr')
      .replace('road', 'rd')
      .replace('lane', 'ln')
      .replace('court', 'ct'),
  'phone fragment': home => home.phone.slice(-7),
  'phone as written': home => `(218) 555-${home.phone.slice(-4)}`,
  'owner without accents, and the street': home => `${plain(last(home.owner))} ${streetName(home)} ${number(home)}`,
  'owner mistyped, and the number': home => `${doubled(plain(last(home.owner)))} ${number(home)}`,
  'former owner in full, without accents': home => `${plain(home.formerOwner)} ${number(home)}`,
  'tenant and house number': home => `${home.tenant} ${number(home)}`,
  tag: home => home.tag,
  'tag in small letters with a gap': home => home.tag.toLowerCase().replace('-', ' '),
  'serial of the fan': home => home.fanSerial,
  'part of a serial': home => home.fanSerial.slice(0, -2),
  'serial of the monitor without its dash': home => home.monitorSerial.replace('-', ''),
  'kit number': home => home.kitNumber.toLowerCase(),
  'mail address': home => home.email,
  'beginning of a mail address': home => home.email.split('@')[0]!,
  'postcode and number': home => `${home.postcode} ${number(home)} ${streetName(home).slice(0, 3)}`,
  'town mistyped, street begun': home => `${number(home)} ${streetName(home).slice(0, 4)} ${dropped(home.city)}`,
}

describe('search over 1,200 homes', () => {
  it('has the right home among the first three for at least 38 of 40 ways of remembering it', async () => {
    const names = Object.keys(ways)
    const missed: string[] = []
    for (let q = 0; q < 40; q++) {
      const home = homes[(q * 271 + 13) % homes.length]!
      const way = names[q % names.length]!
      const typed = ways[way]!(home)
      const first = (await found(typed)).slice(0, 3).map(hit => hit.propertyId)
      if (!first.includes(home.propertyId)) missed.push(`${way}: “${typed}” for ${home.street}`)
    }
    expect(missed.length, missed.join('\n')).toBeLessThanOrEqual(2)
  })
})

describe('what a search may find', () => {
  const app = (id: string, scopes: readonly string[]) =>
    ({
      actor: { kind: 'app', id, name: 'Field tools', clientId: '', scopes, allHomes: false },
      now: office.now,
    }) as const

  it('gives a crew only the homes they are assigned to', async () => {
    const [theirs, other] = [homes[5]!, homes[6]!]
    const crew = await aStaffMember(db.pool, { roles: ['crew'] })
    const visit = await aVisitRow(db.pool, { id: theirs.propertyId }, { starts_at: new Date(office.now) })
    await anAssignment(db.pool, visit, crew)
    const asCrew = {
      actor: { kind: 'staff', id: crew.id, name: 'Kit', roles: ['crew'], sessionId: '' },
      now: office.now,
    } as const
    expect((await searchHomes(db, asCrew, theirs.tag, 20, () => true)).map(hit => hit.propertyId)).toEqual([
      theirs.propertyId,
    ])
    expect(await searchHomes(db, asCrew, other.tag, 20, () => true)).toEqual([])
    const byTown = await searchHomes(db, asCrew, 'avenue', 20, () => true)
    expect(byTown.every(hit => hit.propertyId === theirs.propertyId)).toBe(true)
  })

  it('gives an app only granted homes, and answers a hidden name as if nobody had it', async () => {
    const home = homes[7]!
    const row = await anAppRow(db.pool, { all_homes: false })
    await aGrant(db.pool, row, { id: home.propertyId })
    const who = app(row.id, ['properties:read'])
    const noContacts = (kind: string) => !['owner', 'former-owner', 'person', 'email', 'phone'].includes(kind)
    const byTag = await searchHomes(db, who, home.tag, 20, noContacts)
    expect(byTag.map(hit => hit.propertyId)).toEqual([home.propertyId])
    for (const hidden of [home.owner, home.phone, home.email, home.formerOwner])
      expect(await searchHomes(db, who, hidden, 20, noContacts), hidden).toEqual([])
    const right = await searchHomes(db, who, `${streetName(home)} ${last(home.owner)}`, 20, noContacts)
    const wrong = await searchHomes(db, who, `${streetName(home)} Zzyzx`, 20, noContacts)
    expect(right).toEqual(wrong)
  })

  it('finds nothing for a text without a letter or digit, and nothing for one that matches no home', async () => {
    for (const typed of ['', '   ', '%', "'; --", '🏠', 'qqqqqqxxxx']) expect(await found(typed), typed).toEqual([])
  })
})

describe('what an answer says', () => {
  it('names what matched: the former owner, as written', async () => {
    const home = homes[11]!
    const hit = (await found(`${plain(home.formerOwner)} ${number(home)}`)).find(
      one => one.propertyId === home.propertyId,
    )
    expect(hit?.matches.map(match => [match.kind, match.shown])).toContainEqual(['former-owner', home.formerOwner])
  })

  it('knows when the whole text is a tag, and not when it is only part of one', async () => {
    const home = homes[20]!
    expect((await found(home.tag))[0]?.exact).toMatchObject({ kind: 'tag', shown: home.tag })
    expect((await found(home.tag.slice(0, -1))).every(hit => hit.exact === null)).toBe(true)
  })
})

describe('what a search costs', () => {
  it('takes at most four statements, whatever is typed', async () => {
    for (const typed of ['m', '12 elm', 'nothing like this here at all', homes[3]!.street]) {
      let statements = 0
      const counted: Pick<Database, 'rows' | 'one'> = {
        rows: (statement, values) => {
          statements++
          return db.rows(statement, values)
        },
        one: (statement, values) => {
          statements++
          return db.one(statement, values)
        },
      }
      await searchHomes(counted, office, typed, 20, () => true)
      expect(statements, typed).toBeLessThanOrEqual(4)
    }
  })
})

describe('the index', () => {
  const drift = async () =>
    (
      await db.pool.query(`
        (select property_id, kind, source_id, shown from search_source except select property_id, kind, source_id, shown from search_phrase)
        union all
        (select property_id, kind, source_id, shown from search_phrase except select property_id, kind, source_id, shown from search_source)`)
    ).rows

  it('follows every write to the records it is made of, however it is made', async () => {
    expect(await drift()).toEqual([])
    const [h, o] = [homes[30]!.propertyId, homes[31]!.propertyId]
    for (const write of [
      `update property set street = '1 Changed Way' where id = '${h}'`,
      `update customer set name = 'Ådne Øvrebø', phone = null where id in (select customer_id from ownership where property_id = '${h}')`,
      `update ownership set until_on = '2026-01-01' where property_id = '${h}' and until_on is null`,
      `update property_person set voided_at = now() where property_id = '${h}'`,
      `update system set tag = null where property_id = '${h}'`,
      `update system set voided_at = now() where property_id = '${o}'`,
      `update system_component set serial = 'NEW-1' where system_id in (select id from system where property_id = '${h}')`,
      `update exposure set kit_number = 'Q1', device_id = null where test_id in (select id from test where property_id = '${h}')`,
      `update device set serial = serial || '-B' where id in (select device_id from exposure limit 30)`,
      `update test set voided_at = now() where property_id = '${o}'`,
      `update test set property_id = '${o}' where property_id = '${h}'`,
      `update property set voided_at = now() where id = '${o}'`,
      `delete from property_person where property_id = '${h}'`,
    ]) {
      await db.pool.query(write)
      expect(await drift(), write).toEqual([])
    }
  })

  it('no longer finds a voided home by anything', async () => {
    const home = homes[40]!
    await db.pool.query('update property set voided_at = now() where id = $1', [home.propertyId])
    for (const typed of [home.street, home.tag, home.owner])
      expect(
        (await found(typed)).map(hit => hit.propertyId),
        typed,
      ).not.toContain(home.propertyId)
  })
})
