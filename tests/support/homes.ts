import { readdirSync, readFileSync } from 'node:fs'
import type {
  ExposureFacts,
  HomeFacts,
  LocationFacts,
  Reported,
  SystemFacts,
  TestFacts,
} from '../../src/domain/facts.ts'
import { parsePolicy } from '../../src/domain/policy/parse-policy.ts'
import type { Policies } from '../../src/domain/policy/policies.ts'
import { policiesFrom } from '../../src/domain/policy/policies-from.ts'
import type { Policy } from '../../src/domain/policy/policy-schema.ts'

/** Facts for tests of the reckoning: complete, plain, each part replaceable. */

const folder = new URL('../../seed/jurisdictions/', import.meta.url)

export const seededPolicies: readonly Policy[] = readdirSync(folder).map(name => {
  const read = parsePolicy(JSON.parse(readFileSync(new URL(name, folder), 'utf8')))
  if (!read.ok) throw new Error(`${name}: ${JSON.stringify(read.problems)}`)
  return read.policy
})

export function policiesOf(versions: readonly Policy[]): Policies {
  const read = policiesFrom(versions)
  if (!read.ok) throw new Error(JSON.stringify(read.problems))
  return read.policies
}
export const policies = policiesOf(seededPolicies)

export const hour = 3_600_000
export const day = 24 * hour
export const instant = (text: string): number => Date.parse(text)

export const basement: LocationFacts = {
  id: 'loc-basement',
  name: 'Basement',
  floor: -1,
  livedIn: true,
  roomKind: 'family-room',
}
export const bedroom: LocationFacts = {
  id: 'loc-bedroom',
  name: 'Bedroom',
  floor: 1,
  livedIn: true,
  roomKind: 'bedroom',
}

export const reported = (text: string): Reported => {
  const [, qualifier = '=', value = '', unit = ''] = /^([<>])?\s*([\d.]+) (.+)$/.exec(text) ?? []
  return { value, unit: unit as Reported['unit'], qualifier: qualifier as Reported['qualifier'], uncertainty: null }
}

const wellPlaced = { heightCm: 100, fromOpeningCm: 120, fromExteriorWallCm: 60, fromHeatCm: 200, fromObjectCm: 30 }

export function anExposure(id: string, result: string | null, more: Partial<ExposureFacts> = {}): ExposureFacts {
  return {
    id,
    location: basement,
    role: 'measurement',
    pairKey: null,
    startAt: null,
    stopAt: null,
    placement: wellPlaced,
    deviceId: 'device-1',
    againstRecords: null,
    calibrations: [{ calibratedOn: '1990-01-01', validUntil: '2099-12-31' }],
    lotExpiresOn: '2099-12-31',
    result: result === null ? null : reported(result),
    series: null,
    ...more,
  }
}

/** A valid charcoal test of 72 h in the basement that ended at `stop`; `results` by exposure, or one result. */
export function aTest(
  id: string,
  stop: string,
  result: string | readonly ExposureFacts[],
  more: Partial<TestFacts> & { hours?: number } = {},
): TestFacts {
  const { hours = 72, ...rest } = more
  const stopAt = instant(stop)
  const startAt = stopAt - hours * hour
  const exposures = typeof result === 'string' ? [anExposure(`${id}-x`, result)] : result
  return {
    id,
    version: 1,
    systemId: null,
    purpose: 'pre-mitigation',
    method: 'activated-charcoal',
    source: 'own',
    setAt: startAt,
    pickedUpAt: stopAt,
    sentToLabAt: null,
    resultInAt: stopAt + 5 * day,
    closedSince: startAt - 24 * hour,
    closedDuring: 'yes',
    severeWeather: 'no',
    systemRunning: 'unknown',
    tampering: 'no',
    acceptedAt: stopAt + 6 * day,
    exposures: exposures.map(exposure => ({
      ...exposure,
      startAt: exposure.startAt ?? startAt,
      stopAt: exposure.stopAt ?? stopAt,
    })),
    ...rest,
  }
}

/** A long-term alpha track test of 100 days. */
export const aLongTest = (
  id: string,
  stop: string,
  result: string | readonly ExposureFacts[],
  more: Partial<TestFacts> & { hours?: number } = {},
) => aTest(id, stop, result, { method: 'alpha-track', hours: 2400, ...more })

export const aSystem = (startedAt: string | null, more: Partial<SystemFacts> = {}): SystemFacts => ({
  id: 'system-1',
  type: 'sub-slab',
  active: true,
  installedBy: 'us',
  events:
    startedAt === null
      ? []
      : [{ id: 'event-start', kind: 'first-start', when: { at: instant(startedAt), edtf: null } }],
  components: [],
  ...more,
})

export function aHome(more: Partial<HomeFacts> = {}): HomeFacts {
  return {
    propertyId: 'home-1',
    zone: 'America/Chicago',
    jurisdiction: 'US-MN',
    buildingUse: 'home',
    yearBuilt: 1974,
    knownSince: instant('2024-01-10T12:00:00-06:00'),
    locations: [basement, bedroom],
    systems: [],
    tests: [],
    events: [],
    ...more,
  }
}
