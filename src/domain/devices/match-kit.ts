/** A kit that a number on a laboratory's answer may mean. */
export type KitCandidate = {
  readonly number: string
  readonly deviceId: string
  readonly propertyId: string
  readonly answered: boolean
}

export type KitMatch<K extends KitCandidate> =
  | { readonly fits: 'one'; readonly kit: K }
  /** No kit that left the shop has this number. */
  | { readonly fits: 'none' }
  /** The only ones it fits have their answer already. */
  | { readonly fits: 'answered'; readonly kits: readonly K[] }
  /** Numbers are told apart by lot only. */
  | { readonly fits: 'several'; readonly kits: readonly K[] }

/** The kit that an answer belongs to: the one of its number that waits for an answer, if there is just one. */
export function matchKit<K extends KitCandidate>(
  number: string,
  kits: readonly K[],
  among: { readonly propertyId?: string; readonly deviceId?: string } = {},
): KitMatch<K> {
  const fitting = kits.filter(
    kit =>
      kit.number.toLowerCase() === number.toLowerCase() &&
      (among.propertyId === undefined || kit.propertyId === among.propertyId) &&
      (among.deviceId === undefined || kit.deviceId === among.deviceId),
  )
  const waiting = fitting.filter(kit => !kit.answered)
  if (waiting.length > 1) return { fits: 'several', kits: waiting }
  if (waiting[0]) return { fits: 'one', kit: waiting[0] }
  return fitting.length > 0 ? { fits: 'answered', kits: fitting } : { fits: 'none' }
}
