import type { Test } from 'supertest'
import type { RouteRow } from '../../src/platform/http/declared-access.ts'
import type { Program } from './actors.ts'
import type { ApiRow } from './api-rows.ts'
import { type Home, type HomeNoun, monitorFile } from './world.ts'

/** The address of an operation on a home's records. */
export function pathOf(route: Pick<RouteRow, 'url'>, row: ApiRow, home: Home): string {
  const ids = [...(row.ids ?? [])]
  const filled = route.url.replace(/:\w+/g, () => {
    const next = ids.shift()
    if (next === undefined) throw new Error(`${route.url} has more parameters than its row`)
    return next.startsWith("'") ? next.slice(1, -1) : home[next as HomeNoun]
  })
  return filled + (row.query?.(home) ?? '')
}

type Call = {
  readonly agent: Program['agent']
  readonly version?: string
  readonly key?: string
  readonly requestId?: string
}

/** Calls an operation with its sample body. */
export function call(
  route: Pick<RouteRow, 'url' | 'method'>,
  row: ApiRow,
  home: Home,
  { agent, version, key, requestId }: Call,
): Test {
  const method = route.method.toLowerCase() as 'get' | 'post' | 'patch' | 'delete'
  const request = agent[method](pathOf(route, row, home))
  if (requestId) request.set('x-request-id', requestId)
  if (method === 'get') return request
  if (version !== undefined) request.set('if-match', version)
  if (method === 'post') request.set('idempotency-key', key ?? crypto.randomUUID())
  if (row.file) {
    const bytes = row.file.field === 'photo' ? onePixel : Buffer.from(monitorFile('2026-02-10T12:00:00Z'))
    const name = row.file.field === 'photo' ? 'a.png' : 'a.csv'
    return request.field(row.file.fields(home)).attach(row.file.field, bytes, name)
  }
  return row.body ? request.send(row.body(home)) : request
}

/** The address of the record that a change is meant for. */
export function recordOf(row: ApiRow, home: Home): string {
  const noun = row.version!
  const at: Partial<Record<HomeNoun, string>> = {
    location: `/v1/properties/${home.property}/test-locations/${home.location}`,
    area: `/v1/properties/${home.property}/foundation-areas/${home.area}`,
    person: `/v1/properties/${home.property}/people/${home.person}`,
    party: `/v1/properties/${home.property}/work-parties/${home.party}`,
    event: `/v1/properties/${home.property}/events/${home.event}`,
    absence: `/v1/devices/${home.device}/absences/${home.absence}`,
    pipe: `/v1/systems/${home.pipe}`,
    outreach: `/v1/outreach/${home.outreach}`,
    kitLimit: `/v1/kit-limits/${home.kitLimit}`,
  }
  return at[noun] ?? `/v1/${noun === 'property' ? 'propertie' : noun}s/${home[noun]}`
}

/** The ETag of the record that a change is meant for. */
export const versionOf = async (agent: Program['agent'], row: ApiRow, home: Home): Promise<string> =>
  String((await agent.get(recordOf(row, home))).headers.etag)

/** A PNG of one pixel. */
const onePixel = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
  'base64',
)
