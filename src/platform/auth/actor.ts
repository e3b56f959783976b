export type Role = 'owner' | 'office' | 'crew'

/** Who acts. A homeowner's `id` is the customer's. */
export type Actor =
  | {
      readonly kind: 'staff'
      readonly id: string
      readonly name: string
      readonly roles: readonly Role[]
      readonly sessionId: string
    }
  | {
      readonly kind: 'app'
      readonly id: string
      readonly name: string
      readonly scopes: readonly string[]
      readonly allHomes: boolean
    }
  | { readonly kind: 'homeowner'; readonly id: string; readonly linkId: string; readonly propertyId: string }
  | { readonly kind: 'operator'; readonly id: null }
  | { readonly kind: 'system'; readonly id: null }

export const hasRole = (actor: Actor, ...roles: readonly Role[]): boolean =>
  actor.kind === 'staff' && roles.some(role => actor.roles.includes(role))
