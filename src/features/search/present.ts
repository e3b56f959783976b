import type { z } from 'zod'
import type { Actor } from '../../platform/auth/actor.ts'
import type { searchAnswer } from './schemas.ts'
import type { Hit } from './search-homes.ts'

const personal = new Set(['owner', 'former-owner', 'person', 'former-name', 'phone', 'email'])

/** Which kinds of phrase an app may find by and be shown. */
export const mayShow =
  (actor: Actor) =>
  (kind: string): boolean =>
    actor.kind !== 'app' || !personal.has(kind) || actor.scopes.includes('contacts:read')

/** The same for somebody on screen: a crew may be kept from how people are reached. */
export const mayShowOnScreen =
  (contacts: boolean) =>
  (kind: string): boolean =>
    contacts || !(kind === 'phone' || kind === 'email')

export const addressOf = (hit: Pick<Hit, 'street' | 'unit' | 'city' | 'region' | 'postcode'>): string =>
  [[hit.street, hit.unit].filter(Boolean).join(' '), hit.city, [hit.region, hit.postcode].filter(Boolean).join(' ')]
    .filter(Boolean)
    .join(', ')

export const presentHit = (hit: Hit): z.input<typeof searchAnswer>['items'][number] => ({
  propertyId: hit.propertyId,
  address: addressOf(hit),
  outcome: hit.outcome,
  nextDueOn: hit.nextDueOn,
  matched: hit.matches.map(match => ({
    kind: match.kind as z.input<typeof searchAnswer>['items'][number]['matched'][number]['kind'],
    text: match.shown,
    recordId: match.sourceId,
  })),
  exact: hit.exact !== null,
})
