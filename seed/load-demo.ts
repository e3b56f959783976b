import { randomInt } from 'node:crypto'
import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { localDayOf } from '../src/domain/calendar/local-day.ts'
import { setUpCompany } from '../src/features/company/change-company.ts'
import { recordCredential } from '../src/features/credentials/record-credential.ts'
import { createCustomer } from '../src/features/customers/create-customer.ts'
import { recordDevice } from '../src/features/devices/record-device.ts'
import { publishNewPolicies } from '../src/features/policies/publish-policy.ts'
import { changeOwner } from '../src/features/properties/change-owner.ts'
import { createProperty } from '../src/features/properties/create-property.ts'
import { addStaff } from '../src/features/staff/add-staff.ts'
import { passwordHashOf } from '../src/features/staff/password-hash.ts'
import { programFolder } from '../src/ops/program-files.ts'
import type { Database, Tx } from '../src/platform/db/client.ts'
import type { Act } from '../src/platform/db/record-write.ts'
import { restandHomes } from '../src/standing/restand.ts'
import { company, credentials, customers, devices, staff } from './demo/cast.ts'
import { type DemoHome, homes } from './demo/homes.ts'
import { lendOut } from './demo/lent-out.ts'
import { stories } from './demo/stories.ts'
import { teller } from './demo/teller.ts'

export type SignIn = { readonly email: string; readonly password: string; readonly roles: readonly string[] }
type Ids = ReadonlyMap<string, string>

const day = 86_400_000
const operator = { kind: 'operator', id: null } as const

/**
 * Publishes the rule sets that come with the program; those that are published already stay as they are. Gives the names
 * of those that come with other words than were published.
 */
export async function publishRuleSets(tx: Tx, act: Act): Promise<readonly string[]> {
  const folder = join(programFolder, 'seed', 'jurisdictions')
  const read = async (name: string): Promise<unknown> => JSON.parse(await readFile(join(folder, name), 'utf8'))
  const names = (await readdir(folder)).filter(name => name.endsWith('.json')).sort()
  return publishNewPolicies(tx, act, await Promise.all(names.map(read)))
}

/** Loads the invented company with ten years of history before now, all or nothing; gives its sign-ins. */
export async function loadDemo(db: Database, clock: { now(): number }): Promise<readonly SignIn[]> {
  const now = clock.now()
  const password = inventedPassword()
  const passwordHash = await passwordHashOf(password)
  await db.transaction(async tx => {
    const act: Act = { actor: operator, now, requestId: 'demo' }
    const long = { ...act, now: now - 11 * 365 * day }
    await setUpCompany(tx, long, company)
    await publishRuleSets(tx, long)
    const people = await inOrder(staff, async one => addStaff(tx, act, { ...one, passwordHash }))
    for (const { holder, expiresInDays, ...said } of credentials) {
      const expiresOn = localDayOf(now + expiresInDays * day, company.zone)
      await recordCredential(tx, act, holder && people.get(holder)!, { ...said, expiresOn })
    }
    const owners = await inOrder(customers, async one => (await createCustomer(tx, long, { ...one })).id)
    const tools = await inOrder(devices, one => recordDevice(tx, long, deviceOf(one, now)))
    const told = new Map<string, { id: string; zone: string }>()
    for (const home of homes)
      told.set(home.key, { id: await tell(tx, now, home, { people, owners, tools }), zone: home.zone })
    await lendOut({ tx, act, tools, homes: told })
    await restandHomes(
      tx,
      act,
      [...told.values()].map(({ id }) => id),
    )
  })
  return staff.map(({ email, roles }) => ({ email, password, roles }))
}

async function tell(
  tx: Tx,
  now: number,
  home: DemoHome,
  ids: { people: Ids; owners: Ids; tools: Ids },
): Promise<string> {
  const from = now - Math.min(11, home.ownerSinceYearsAgo + (home.formerOwner ? 5 : 0)) * 365 * day
  const act: Act = { actor: operator, now: from, requestId: 'demo' }
  const { key: _, owner, formerOwner, ownerSinceYearsAgo, areas, rooms, ...place } = home
  const settled = {
    unit: '',
    postcode: '',
    zoneSource: 'given' as const,
    buildingUse: 'home',
    accessNote: '',
    gateCode: '',
    dogNote: '',
    note: '',
    ...place,
  }
  const property = await createProperty(tx, act, settled, {
    ownerId: ids.owners.get(formerOwner ?? owner)!,
    ownerSince: localDayOf(from, home.zone),
    foundationAreas: areas.map(area => ({ ...area })),
    testLocations: rooms.map(room => ({ ...room })) as never,
  })
  const roomIds = new Map(property.testLocations.map(location => [location.name, location.id]))
  const { people, tools } = ids
  await stories[home.key]?.(
    teller({ tx, now, zone: home.zone, propertyId: property.id, rooms: roomIds, devices: tools, staff: people }),
  )
  if (formerOwner) {
    const sold = now - ownerSinceYearsAgo * 365 * day
    const change = { customerId: ids.owners.get(owner)!, onDay: localDayOf(sold, home.zone), because: 'sale' as const }
    await changeOwner(tx, { ...act, now: sold + day }, property.id, change)
  }
  return property.id
}

function deviceOf({ key: _, ...device }: (typeof devices)[number], now: number) {
  const { calibratedDaysAgo, usableDays, ...facts } = { calibratedDaysAgo: null, usableDays: null, ...device }
  const calibratedOn = (daysAgo: number) => localDayOf(now - daysAgo * day, company.zone)
  const expiresOn = usableDays === null ? null : localDayOf(now + usableDays * day, company.zone)
  // Calibrated every year for as long as the demo remembers.
  const calibrations =
    calibratedDaysAgo === null
      ? []
      : Array.from({ length: 11 }, (_, years) => ({
          calibratedOn: calibratedOn(calibratedDaysAgo + years * 365),
          validUntil: calibratedOn(calibratedDaysAgo + years * 365 - 365),
        }))
  return { ...facts, expiresOn, calibrations }
}

async function inOrder<T extends { readonly key: string }>(
  list: readonly T[],
  make: (one: T) => Promise<string>,
): Promise<Ids> {
  const made = new Map<string, string>()
  for (const one of list) made.set(one.key, await make(one))
  return made
}

const words = [
  'alder',
  'basalt',
  'cellar',
  'damson',
  'ember',
  'fathom',
  'gravel',
  'heather',
  'inlet',
  'juniper',
  'kelp',
  'lantern',
]
/** Made anew for every demo, so that no installation has a password that others know. */
const inventedPassword = (): string =>
  `${words[randomInt(words.length)]}-${words[randomInt(words.length)]}-${words[randomInt(words.length)]}-${randomInt(1000, 9999)}`
