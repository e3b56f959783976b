import type { Parts, writeSystems } from '../../features/systems/install-system.ts'
import type { SystemCells } from './home-facts.ts'
import { endOfTest } from './plan-home.ts'

type NewSystem = Parameters<typeof writeSystems>[2][number]['system']
type When = { readonly zone: string; readonly now: number }

/** A system as an old record tells it. What it does not tell stays unknown: a start without a day, a kind not known. */
export function systemToWrite(cells: SystemCells, when: When): NewSystem {
  const active = cells.type !== 'passive-stack' || cells.fans.length > 0
  const { components, gaugeReadings } = partsToWrite(cells, when)
  return {
    tag: cells.tag,
    type: (cells.type ?? 'unknown') as NewSystem['type'],
    active,
    installedBy: cells.installedBy,
    installerName: cells.installerName,
    note: cells.label === '' ? '' : `Label: ${cells.label}`,
    components: [...(components ?? [])],
    suctionPoints: [],
    events: eventsOf(cells, active),
    gaugeReadings: [...(gaugeReadings ?? [])],
  }
}

/** What is added to a system that is on record. */
export const addedParts = (cells: SystemCells, when: When): Parts => ({
  ...partsToWrite(cells, when),
  events: cells.installed === null ? [] : eventsOf(cells, cells.type !== 'passive-stack'),
})

// A fan is started on the day the system is put in (common practice, no source). That it was started once is certain of
// an old system, whatever the day.
function eventsOf({ installed }: SystemCells, active: boolean): NewSystem['events'] {
  const when = installed === null ? {} : { approx: installed }
  if (active) return [{ kind: 'first-start', when }]
  return installed === null ? [] : [{ kind: 'completed', when }]
}

const partsToWrite = (cells: SystemCells, { zone, now }: When): Parts => ({
  components: [
    ...cells.fans.map(({ model, serial, installed }) => ({
      ...{ kind: 'fan' as const, model, serial },
      ...(installed === null ? {} : { installed: { approx: installed } }),
    })),
    ...(cells.alarm === null ? [] : [{ kind: 'alarm' as const, note: cells.alarm }]),
  ],
  gaugeReadings: cells.gauges.map(gauge =>
    isDay(cells.installed)
      ? { ...gauge, role: 'start-up' as const, at: Math.min(endOfTest(cells.installed, zone), now) }
      : {
          ...gauge,
          role: 'adopted' as const,
          at: now,
          note: 'From the old records; the day it was read is not known.',
        },
  ),
})

const isDay = (edtf: string | null): edtf is string => edtf !== null && /^\d{4}-\d{2}-\d{2}$/.test(edtf)
export const dayOrNull = (edtf: string | null): string | null => (isDay(edtf) ? edtf : null)
