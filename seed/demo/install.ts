import { addParts } from '../../src/features/systems/change-system.ts'
import { installSystem } from '../../src/features/systems/install-system.ts'
import type { NewSystem } from '../../src/features/systems/schemas.ts'
import type { Teller } from './teller.ts'

/** A fan-driven system with its usual parts, started on the day it was built; gives its id. */
export async function install(
  t: Teller,
  told: {
    daysAgo: number
    type?: NewSystem['type']
    tag?: string | null
    by?: NewSystem['installedBy']
    installer?: string
    gauge?: string | null
    fan?: string
    fanSerial?: string
    /** The days are not known: a system taken over. */
    undated?: boolean
    /** Only so much is known of its day: a year. */
    roughly?: string
    notStarted?: boolean
    points?: readonly string[]
  },
): Promise<string> {
  const built = t.at(told.daysAgo, '15:00')
  const when = told.roughly ? { approx: told.roughly } : { at: built }
  const day = told.undated ? {} : { installed: when }
  const started = told.undated || told.notStarted ? [] : [{ kind: 'first-start' as const, when }]
  const completed =
    told.undated || told.notStarted || told.roughly
      ? []
      : [{ kind: 'completed' as const, when: { at: built + 3_600_000 } }]
  const { systemId } = await installSystem(t.tx, t.act(built + 7_200_000), t.propertyId, {
    tag: told.tag ?? null,
    type: told.type ?? 'sub-slab-suction',
    active: true,
    installedBy: told.by ?? 'us',
    installerName: told.installer ?? '',
    note: '',
    components: [
      {
        kind: 'fan',
        model: told.fan ?? 'inline fan, 60 W',
        serial: told.fanSerial ?? '',
        place: 'garage attic',
        ...day,
      },
      { kind: 'pipe', model: '3 in Schedule 40 PVC', place: 'basement corner to roof', ...day },
      { kind: 'gauge', model: 'U-tube manometer', place: 'on the riser in the basement', ...day },
      { kind: 'outlet', place: 'above the eave', ...day },
    ],
    suctionPoints: (told.points ?? ['By the furnace']).map(name => ({
      name,
      since: told.undated || told.roughly ? null : built,
    })),
    events: [...started, ...completed],
    gaugeReadings: told.gauge
      ? [
          {
            role: told.undated ? 'adopted' : 'start-up',
            value: told.gauge,
            unit: 'in. w.c.',
            at: built + 1_800_000,
            readBy: 'Jo Tamarack',
          },
        ]
      : [],
  })
  return systemId
}

/** An alteration of a system, with the gauge as it stood afterwards. */
export async function alter(
  t: Teller,
  told: {
    daysAgo: number
    systemId: string
    note: string
    gauge: string
    kind?: 'altered' | 'repaired'
    point?: string
    fan?: string
  },
): Promise<void> {
  const at = t.at(told.daysAgo, '14:00')
  await addParts(t.tx, t.act(at), told.systemId, {
    events: [{ kind: told.kind ?? 'altered', when: { at }, note: told.note }],
    suctionPoints: told.point ? [{ name: told.point, since: at }] : [],
    components: told.fan ? [{ kind: 'fan', model: told.fan, installed: { at } }] : [],
    gaugeReadings: [{ role: 'visit', value: told.gauge, unit: 'in. w.c.', at, readBy: 'Wes Alderby' }],
  })
}

/** The fan was switched off, or on again. */
export const turn = (t: Teller, systemId: string, kind: 'off' | 'on', daysAgo: number, note: string) =>
  addParts(t.tx, t.act(t.at(daysAgo)), systemId, { events: [{ kind, when: { at: t.at(daysAgo) }, note }] })
