import type { Finding } from '../answers.ts'
import type { ExposureFacts, PlacementFacts } from '../facts.ts'
import type { Rule, TestRules } from '../policy/resolved-policy.ts'
import { invalidates, warns } from './finding.ts'
import type { TestContext } from './test-context.ts'

type Distance = {
  readonly code: string
  readonly rule: keyof TestRules
  readonly fact: keyof PlacementFacts
  readonly what: string
  readonly most?: boolean
}

const DISTANCES: readonly Distance[] = [
  { code: 'height', rule: 'minimumHeightCm', fact: 'heightCm', what: 'above the floor' },
  { code: 'height', rule: 'maximumHeightCm', fact: 'heightCm', what: 'above the floor', most: true },
  { code: 'from-opening', rule: 'fromOpeningCm', fact: 'fromOpeningCm', what: 'from doors, windows and ducts' },
  { code: 'from-exterior-wall', rule: 'fromExteriorWallCm', fact: 'fromExteriorWallCm', what: 'from an exterior wall' },
  { code: 'from-heat', rule: 'fromHeatCm', fact: 'fromHeatCm', what: 'from heat and sun' },
  { code: 'from-object', rule: 'fromObjectCm', fact: 'fromObjectCm', what: 'from other objects' },
]

/** Where the device stood: rooms where it must not, heights and distances, and which of them nobody noted. */
export function placementFindings(exposure: ExposureFacts, { policy: { rules } }: TestContext): readonly Finding[] {
  const asked = DISTANCES.flatMap(distance => {
    const rule = rules[distance.rule] as Rule<number> | undefined
    return rule ? [{ distance, rule }] : []
  })
  const notNoted = asked.filter(({ distance }) => exposure.placement[distance.fact] === null)
  const unknown = [...new Set(notNoted.map(({ distance }) => distance.code))]
  return [
    ...roomFindings(exposure, rules.forbiddenRooms),
    ...asked.flatMap(({ distance: { code, fact, what, most }, rule }) => {
      const found = exposure.placement[fact]
      if (found === null || (most ? found <= rule.value : found >= rule.value)) return []
      const allowed = `at ${most ? 'most' : 'least'} ${rule.value} cm ${what}`
      return [warns(code, { exposureId: exposure.id, allowed, found: `${found} cm`, rule: rule.ref })]
    }),
    ...(unknown.length > 0
      ? [
          warns('placement-unknown', {
            exposureId: exposure.id,
            allowed: 'place noted',
            found: `not recorded: ${unknown.join(', ')}`,
            rule: asked[0]!.rule.ref,
          }),
        ]
      : []),
  ]
}

function roomFindings(exposure: ExposureFacts, rule: Rule<string[]> | undefined): readonly Finding[] {
  if (!rule) return []
  const about = { exposureId: exposure.id, rule: rule.ref, allowed: `not in a ${rule.value.join(', ')}` }
  if (!exposure.location) return [warns('room', { ...about, found: 'not recorded' })]
  const kind = exposure.location.roomKind.trim().toLowerCase()
  return rule.value.some(room => room.toLowerCase() === kind)
    ? [invalidates('room', { ...about, found: exposure.location.roomKind })]
    : []
}
