import { sql, type Tx } from '../platform/db/client.ts'

/** Everything that hangs on a home and is in use, by the nouns that corrections know. */
export type ThingsOfHome = Readonly<Record<(typeof hanging)[number], readonly string[]>>

const hanging = [
  ...([
    'test',
    'system',
    'visit',
    'callback',
    'kit',
    'booking',
    'work_party',
    'note',
    'outreach',
    'home_event',
  ] as const),
  ...(['test_location', 'foundation_area', 'ownership', 'property_person'] as const),
] as const
const tables: Partial<Record<(typeof hanging)[number], string>> = { booking: 'device_booking' }

const things = sql(
  'putting-right-things-of-home',
  hanging
    .map(
      noun =>
        `select '${noun}' as noun, coalesce(array_agg(id order by id), '{}') as ids from ${tables[noun] ?? noun}
          where property_id = $1 and voided_at is null`,
    )
    .join(' union all '),
)

export async function thingsOfHome(tx: Tx, propertyId: string): Promise<ThingsOfHome> {
  const rows = await tx.rows<{ noun: keyof ThingsOfHome; ids: string[] }>(things, [propertyId])
  return Object.fromEntries(rows.map(({ noun, ids }) => [noun, ids] as const)) as unknown as ThingsOfHome
}

const words: Readonly<Record<keyof ThingsOfHome, readonly [string, string]>> = {
  test: ['test', 'tests'],
  system: ['system', 'systems'],
  visit: ['visit', 'visits'],
  callback: ['callback', 'callbacks'],
  kit: ['mail-in kit', 'mail-in kits'],
  booking: ['booking of a monitor', 'bookings of monitors'],
  work_party: ['part in a piece of work', 'parts in pieces of work'],
  note: ['note or photo', 'notes and photos'],
  outreach: ['call or putting off of the month’s list', 'calls and puttings off of the month’s list'],
  home_event: ['event at the home', 'events at the home'],
  test_location: ['room', 'rooms'],
  foundation_area: ['part of the foundation', 'parts of the foundation'],
  ownership: ['ownership', 'ownerships'],
  property_person: ['person around the home', 'people around the home'],
}
/** `2 tests`, one line a noun of which there is any. */
export const thingsWords = (things: ThingsOfHome): string[] =>
  hanging.flatMap(noun => {
    const count = things[noun].length
    return count === 0 ? [] : [`${count} ${words[noun][count === 1 ? 0 : 1]}`]
  })
