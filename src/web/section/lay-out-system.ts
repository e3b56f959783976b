import { dayWords } from '../day-words.ts'
import { quantityWords } from '../quantity-text.tsx'
import type { LaidArea } from './lay-out-areas.ts'
import type { SectionSystem } from './section-facts.ts'
import type { SectionElement, SectionFrame } from './section-model.ts'

type Place = Pick<SectionElement, 'x' | 'y' | 'w' | 'h'>

const element = (
  kind: SectionElement['kind'],
  system: SectionSystem,
  said: Pick<SectionElement, 'factId' | 'state' | 'label' | 'value'> & { on?: string },
  place: Place,
): SectionElement => ({ kind, systemId: system.id, on: '', ...said, ...place })

const missing = (label: string) => ({ factId: null, state: 'missing', label, value: 'not on record' }) as const

/** The pipe from the lowest point over the roof, the fan, the gauge and the discharge of one system. */
export function layOutSystem(system: SectionSystem, frame: SectionFrame, areas: readonly LaidArea[]) {
  const riser = frame.risers.find(each => each.systemId === system.id)!
  const points = layOutPoints(system, areas, riser.x, frame.risers.indexOf(riser))
  const roofY = roofAt(frame, riser.x)
  const top = (riser.outside ? frame.eaves : roofY) - 26
  const fanY = riser.outside ? frame.ground - 40 : (frame.eaves + roofY) / 2 + 4
  const gaugeY = frame.ground - (riser.outside ? 96 : 50)
  return [
    ...points,
    layOutPipe(system, { x: riser.x, y: top, w: 0, h: Math.max(...points.map(point => point.y), frame.runY) - top }),
    ...(system.active ? [layOutFan(system, { x: riser.x, y: fanY, w: 16, h: 22 })] : []),
    layOutGauge(system, { x: riser.x, y: gaugeY, w: 12, h: 24 }),
    layOutDischarge(system, { x: riser.x, y: top, w: 12, h: 12 }),
  ]
}

export function roofAt({ left, right, ridge, eaves }: SectionFrame, x: number): number {
  const middle = (left + right) / 2
  const half = (right - left) / 2 + 14
  return Math.min(eaves, ridge + (Math.abs(x - middle) / half) * (eaves - ridge))
}

function layOutPoints(system: SectionSystem, areas: readonly LaidArea[], riserX: number, rank: number) {
  const rightmost = areas[areas.length - 1]!
  if (system.points.length === 0) {
    const place = { x: Math.min(riserX, rightmost.x + rightmost.w - 14), y: rightmost.floorY + 10, w: 14, h: 10 }
    return [element('suction-point', system, missing('Suction point'), place)]
  }
  return system.points.map((point, index) => {
    const area = areas.find(each => each.factId === point.areaId) ?? rightmost
    const before = system.points.slice(0, index).filter(each => (each.areaId ?? '') === (point.areaId ?? '')).length
    const said = {
      factId: point.id,
      state: 'recorded',
      label: point.name,
      value: point.areaId === null ? 'area not known' : `under ${area.label}`,
    } as const
    const x = area.x + area.w - 14 - 22 * before - 11 * rank
    return element('suction-point', system, said, { x, y: area.floorY + 10, w: 14, h: 10 })
  })
}

function layOutPipe(system: SectionSystem, place: Place): SectionElement {
  if (system.pipe === null) return element('pipe', system, missing('Pipe route'), place)
  const { id, route } = system.pipe
  const value = route === null ? 'route not known' : route === 'inside' ? 'inside the house' : 'up the outside wall'
  const state = route === null ? 'unread' : 'recorded'
  return element('pipe', system, { factId: id, state, label: 'Pipe route', value }, place)
}

const layOutFan = (system: SectionSystem, place: Place): SectionElement =>
  system.fan === null
    ? element('fan', system, missing('Fan'), place)
    : element(
        'fan',
        system,
        { factId: system.fan.id, state: 'recorded', label: 'Fan', value: system.fan.model || 'model not known' },
        place,
      )

function layOutGauge(system: SectionSystem, place: Place): SectionElement {
  if (system.gauge === null) return element('gauge', system, missing('Gauge'), place)
  const { id, reading } = system.gauge
  if (reading === null)
    return element('gauge', system, { factId: id, state: 'unread', label: 'Gauge', value: 'no reading' }, place)
  const on = reading.on === null ? '' : dayWords(reading.on)
  const said = { factId: id, state: 'recorded', label: 'Gauge', value: quantityWords(reading), on } as const
  return element('gauge', system, said, place)
}

const layOutDischarge = (system: SectionSystem, place: Place): SectionElement =>
  system.discharge === null
    ? element('discharge', system, missing('Discharge'), place)
    : element(
        'discharge',
        system,
        {
          factId: system.discharge.id,
          state: 'recorded',
          label: 'Discharge',
          value: system.discharge.place || 'place not known',
        },
        place,
      )
