import { closeCallback, recordCallback } from '../../src/features/callbacks/record-callback.ts'
import { recordEvent } from '../../src/features/properties/record-event.ts'
import { recordTest } from '../../src/features/tests/record-test.ts'
import { planVisit, reportVisit } from '../../src/features/visits/plan-visit.ts'
import { alter, install, turn } from './install.ts'
import { dale } from './rough-story.ts'
import { kitTest, monitorTest, type Teller } from './teller.ts'

const year = 365
type Story = (t: Teller) => Promise<void>

/** What happened at each home of homes.ts, by its key. */
export const stories: Readonly<Record<string, Story>> = {
  dale,
  // Eight good years: built, proved, retested every second year, one dead fan; the next retest is three weeks away.
  async kestrel(t) {
    await monitorTest(t, { purpose: 'pre-mitigation', daysAgo: 8 * year + 40, mean: 9.4, room: 'Family room' })
    const systemId = await install(t, { daysAgo: 8 * year, tag: 'AF-0107', gauge: '1.35', fanSerial: 'F60-11872' })
    const system = { systemId }
    await monitorTest(t, {
      purpose: 'post-mitigation',
      daysAgo: 8 * year - 3,
      mean: 1.3,
      room: 'Family room',
      ...system,
    })
    await monitorTest(t, { purpose: 'retest', daysAgo: 6 * year + 10, mean: 1.6, room: 'Family room', ...system })
    await callback(t, {
      systemId,
      daysAgo: 4 * year + 60,
      complaint: 'gauge-at-zero',
      said: 'Both sides of the tube stand level.',
      found: 'Fan seized.',
      done: 'Fan replaced, gauge back at 1.40 in. w.c.',
    })
    await alter(t, {
      systemId,
      daysAgo: 4 * year + 58,
      kind: 'repaired',
      note: 'Fan replaced',
      gauge: '1.40',
      fan: 'inline fan, 65 W',
    })
    await monitorTest(t, { purpose: 'retest', daysAgo: 4 * year + 50, mean: 1.2, room: 'Family room', ...system })
    await monitorTest(t, {
      purpose: 'retest',
      daysAgo: 2 * year - 18,
      mean: 1.5,
      room: 'Family room',
      device: 'monitor-a',
      ...system,
    })
  },

  // An old cellar and a crawlspace: the third attempt is the one that holds.
  async quarry(t) {
    await monitorTest(t, { purpose: 'pre-mitigation', daysAgo: 500, mean: 18.4, room: 'Cellar workshop' })
    const systemId = await install(t, { daysAgo: 460, tag: 'AF-0311', gauge: '0.90', points: ['Cellar, north wall'] })
    const system = { systemId }
    const first = await monitorTest(t, {
      purpose: 'post-mitigation',
      daysAgo: 456,
      mean: 6.1,
      room: 'Cellar workshop',
      ...system,
    })
    await alter(t, { systemId, daysAgo: 440, note: 'Floor cracks sealed', gauge: '1.10' })
    const second = await monitorTest(t, {
      purpose: 'post-mitigation',
      daysAgo: 436,
      mean: 4.9,
      room: 'Cellar workshop',
      follows: first,
      ...system,
    })
    await alter(t, {
      systemId,
      daysAgo: 420,
      note: 'Second suction point, membrane in the crawlspace',
      gauge: '1.25',
      point: 'Crawlspace membrane',
    })
    await monitorTest(t, {
      purpose: 'post-mitigation',
      daysAgo: 416,
      mean: 1.8,
      room: 'Cellar workshop',
      follows: second,
      ...system,
    })
    await callback(t, {
      systemId,
      daysAgo: 2,
      complaint: 'water',
      said: 'Gurgling in the pipe since the rain on Sunday.',
    })
    await planned(t, {
      daysAhead: 1,
      purpose: 'callback',
      crew: ['crew'],
      instructions: 'Look for a low spot between gauge and fan.',
    })
  },

  // Another company's system, taken over: nobody knows when it started, and the last test is three years old.
  async larkspur(t) {
    await install(t, {
      daysAgo: 3 * year,
      by: 'another',
      installer: 'a company that has closed',
      undated: true,
      gauge: '0.80',
    })
    await monitorTest(t, {
      purpose: 'retest',
      daysAgo: 3 * year - 4,
      mean: 2.6,
      room: 'Family room',
      device: 'monitor-b',
    })
  },

  // A first short test above the level: the second one confirms or clears it.
  async heron(t) {
    await kitTest(t, {
      purpose: 'pre-mitigation',
      daysAgo: 12,
      days: 4,
      results: { 'Living room': '6.3' },
      uncertainty: '0.5',
    })
  },

  // Two short tests that contradict each other.
  async sorrel(t) {
    await kitTest(t, { purpose: 'pre-mitigation', daysAgo: 60, days: 4, results: { 'Family room': '3.0' } })
    await kitTest(t, { purpose: 'follow-up', daysAgo: 30, days: 4, results: { 'Family room': '6.4' } })
  },

  // Bought last autumn on a real-estate test that decides at once.
  async bluff(t) {
    await monitorTest(t, { purpose: 'real-estate', daysAgo: 25, mean: 8.7, room: 'Family room' })
    await planned(t, {
      daysAhead: 3,
      purpose: 'bid',
      crew: ['crew-two'],
      instructions: 'Look at the sump and the block wall.',
    })
  },

  // Stone cellar: mitigated, and still above.
  async mill(t) {
    await monitorTest(t, { purpose: 'pre-mitigation', daysAgo: 90, mean: 22, room: 'Stone cellar' })
    const systemId = await install(t, { daysAgo: 45, tag: 'AF-0398', gauge: '0.55', type: 'block-wall-suction' })
    await monitorTest(t, { purpose: 'post-mitigation', daysAgo: 40, mean: 5.6, room: 'Stone cellar', systemId })
    await planned(t, {
      daysAhead: 0,
      purpose: 'return-trip',
      crew: ['crew', 'crew-two'],
      instructions: 'Second point under the extension.',
    })
  },

  // Built this week, not switched on yet.
  async cedar(t) {
    await install(t, { daysAgo: 1, tag: 'AF-0402', gauge: null, notStarted: true })
    await planned(t, {
      daysAhead: 0,
      purpose: 'installation',
      crew: ['crew'],
      instructions: 'Electrician comes at ten; start the fan, mark the gauge.',
    })
  },

  // A monitor stands here since yesterday.
  async pond(t) {
    await setOnly(t, { daysAgo: 1, room: 'Family room' })
    await planned(t, {
      daysAhead: 1,
      purpose: 'pick-up-device',
      crew: ['crew'],
      instructions: 'Monitor in the family room, by the bookshelf.',
    })
  },

  // Track detectors are at the laboratory.
  async ridge(t) {
    await kitTest(t, {
      purpose: 'pre-mitigation',
      daysAgo: 104,
      days: 96,
      method: 'alpha-track',
      results: { 'Living room': null, Bedroom: null },
    })
  },

  // The only record broke off after thirty hours.
  async meadow(t) {
    await monitorTest(t, {
      purpose: 'pre-mitigation',
      daysAgo: 50,
      hours: 30,
      mean: 3.2,
      room: 'Family room',
      accepted: false,
    })
  },

  // A school: three ground-contact rooms, one at the level.
  async school(t) {
    await kitTest(t, {
      purpose: 'pre-mitigation',
      daysAgo: 35,
      days: 3,
      results: { 'Room 101': '2.1', 'Room 102': '4.4', Office: '1.2' },
      accepted: false,
    })
  },

  // Ontario: a long winter test, a system, a good long test, and a new fan three weeks ago.
  async bay(t) {
    await kitTest(t, {
      purpose: 'pre-mitigation',
      daysAgo: 5 * year + 120,
      days: 100,
      method: 'alpha-track',
      unit: 'Bq/m3',
      results: { 'Family room': '412' },
      uncertainty: '40',
    })
    const systemId = await install(t, { daysAgo: 5 * year - 40, gauge: '1.10' })
    await kitTest(t, {
      purpose: 'post-mitigation',
      daysAgo: 5 * year - 60,
      days: 95,
      method: 'alpha-track',
      unit: 'Bq/m3',
      results: { 'Family room': '62' },
      uncertainty: '10',
      systemId,
    })
    await alter(t, {
      systemId,
      daysAgo: 20,
      kind: 'repaired',
      note: 'Fan replaced after eleven years of noise in five',
      gauge: '1.15',
      fan: 'inline fan, 70 W',
    })
  },

  // Ontario: only a short test, which decides nothing there.
  async cove(t) {
    await kitTest(t, {
      purpose: 'pre-mitigation',
      daysAgo: 70,
      days: 5,
      unit: 'Bq/m3',
      results: { 'Family room': '180' },
    })
  },

  // Devon: three months in two rooms, then a new extension.
  async moor(t) {
    await kitTest(t, {
      purpose: 'pre-mitigation',
      daysAgo: 260,
      days: 92,
      method: 'alpha-track',
      unit: 'Bq/m3',
      results: { 'Sitting room': '150', Bedroom: '90' },
      uncertainty: '15',
    })
    await recordEvent(t.tx, t.act(t.at(40)), t.propertyId, {
      kind: 'addition',
      at: t.at(45),
      note: 'Garden room on a new slab',
    })
  },

  // Where no rule set is known, the WHO's reference level stands in.
  async kauri(t) {
    await kitTest(t, {
      purpose: 'pre-mitigation',
      daysAgo: 150,
      days: 95,
      method: 'alpha-track',
      unit: 'Bq/m3',
      results: { Lounge: '78', Bedroom: '54' },
      uncertainty: '9',
    })
  },

  // The owner switched the fan off in summer because of its hum.
  async orchard(t) {
    await monitorTest(t, { purpose: 'pre-mitigation', daysAgo: 3 * year, mean: 7.2, room: 'Living room' })
    const systemId = await install(t, { daysAgo: 3 * year - 20, tag: 'AF-0266', gauge: '1.20' })
    await monitorTest(t, {
      purpose: 'post-mitigation',
      daysAgo: 3 * year - 24,
      mean: 1.1,
      room: 'Living room',
      systemId,
    })
    await monitorTest(t, { purpose: 'retest', daysAgo: year + 20, mean: 1.4, room: 'Living room', systemId })
    await turn(t, systemId, 'off', 120, 'Owner says the hum kept them awake')
  },

  // A number from a folder, without a date: it says nothing until somebody finds the report.
  async fold(t) {
    const now = t.act(t.at(90))
    await recordTest(t.tx, now, t.propertyId, {
      purpose: 'pre-mitigation',
      method: 'activated-charcoal',
      source: 'other-company',
      sourceName: 'a report nobody can find',
      exposures: [
        {
          role: 'measurement',
          locationId: t.room('Living room'),
          result: { value: '4.6', unit: 'pCi/L', qualifier: '=', uncertainty: null },
        },
      ],
    })
  },
}

async function callback(
  t: Teller,
  told: {
    systemId: string
    daysAgo: number
    complaint: 'gauge-at-zero' | 'water'
    said: string
    found?: string
    done?: string
  },
): Promise<void> {
  const at = t.at(told.daysAgo, '08:40')
  const { callbackId } = await recordCallback(t.tx, t.act(at), t.propertyId, {
    systemId: told.systemId,
    complaint: told.complaint,
    reportedBy: 'the owner',
    channel: 'phone',
    description: told.said,
  })
  if (told.found && told.done)
    await closeCallback(t.tx, t.act(at + 2 * 86_400_000), callbackId, 1, { found: told.found, done: told.done })
}

async function planned(
  t: Teller,
  told: {
    daysAhead: number
    purpose: 'bid' | 'callback' | 'return-trip' | 'installation' | 'pick-up-device'
    crew: string[]
    instructions: string
  },
): Promise<void> {
  const startsAt = t.at(-told.daysAhead, '10:30')
  await planVisit(t.tx, t.act(t.at(2)), t.propertyId, {
    purpose: told.purpose,
    startsAt,
    endsAt: startsAt + 2 * 3_600_000,
    crew: told.crew.map(t.staff),
    instructions: told.instructions,
  })
}

async function setOnly(t: Teller, told: { daysAgo: number; room: string }): Promise<void> {
  const visitId = await planVisit(t.tx, t.act(t.at(3)), t.propertyId, {
    purpose: 'set-device',
    startsAt: t.at(told.daysAgo, '09:00'),
    crew: [t.staff('crew')],
  })
  const setAt = t.at(told.daysAgo, '09:20')
  await reportVisit(t.tx, t.act(setAt), visitId, 1, {
    outcome: 'done',
    arrivedAt: t.at(told.daysAgo, '09:05'),
    doneAt: setAt,
  })
  await recordTest(t.tx, t.act(setAt), t.propertyId, {
    purpose: 'pre-mitigation',
    method: 'continuous-monitor',
    setAt,
    setBy: 'Jo Tamarack',
    closedSince: setAt - 14 * 3_600_000,
    exposures: [
      {
        role: 'measurement',
        locationId: t.room(told.room),
        deviceId: t.device('monitor-c'),
        startAt: setAt,
        heightCm: 80,
      },
    ],
  })
}
