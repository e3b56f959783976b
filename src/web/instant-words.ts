import type { Instant } from '../domain/facts.ts'

const formats = new Map<string, Intl.DateTimeFormat>()

function formatIn(zone: string): Intl.DateTimeFormat {
  const known = formats.get(zone)
  if (known) return known
  const made = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  })
  formats.set(zone, made)
  return made
}

/** `14:30` on the wall of `zone`. */
export const clockWords = (at: Instant, zone: string): string => formatIn(zone).format(at)

const named = new Map<string, Intl.DateTimeFormat>()

/** The zone's own short name at that moment: `CST`, `GMT+1`. */
export function zoneWords(at: Instant, zone: string): string {
  const format = named.get(zone) ?? new Intl.DateTimeFormat('en-US', { timeZone: zone, timeZoneName: 'short' })
  named.set(zone, format)
  return format.formatToParts(at).find(part => part.type === 'timeZoneName')?.value ?? zone
}
