import createClient from 'openapi-fetch'
import type { paths } from 'underslab-api'

const set = '2026-02-02T15:00:00Z'
const picked = '2026-02-05T16:00:00Z'

/**
 * The main job by a client whose every path, parameter and body is typed from the committed API document.
 * @param baseUrl origin of the service. @param token an access token with the scopes of the trip.
 */
export async function mainTrip(baseUrl: string, token: string) {
  const client = createClient<paths>({ baseUrl, headers: { authorization: `Bearer ${token}` } })
  const once = () => ({ header: { 'Idempotency-Key': crypto.randomUUID() } })
  const begun = made(await client.GET('/v1/changes', { params: { query: { after: 'latest' } } }))

  const person = { name: 'Ada Lind', email: 'ada@home.example', phone: '(218) 555-0147' }
  const customer = made(await client.POST('/v1/customers', { params: once(), body: person }))
  const replayed = { header: { 'Idempotency-Key': crypto.randomUUID() } }
  const house = {
    street: '12 Harbor Street',
    city: 'Duluth',
    region: 'MN',
    postcode: '55803',
    country: 'US',
    ownerId: customer.id,
    foundationAreas: [{ kind: 'basement' as const, name: 'Basement' }],
    testLocations: [{ name: 'Family room', floor: -1, livedIn: true }],
  }
  const first = await client.POST('/v1/properties', { params: replayed, body: house })
  const second = await client.POST('/v1/properties', { params: replayed, body: house })
  const property = made(first)
  const path = { id: property.id }

  const device = made(
    await client.POST('/v1/devices', {
      params: once(),
      body: {
        kind: 'kit-lot',
        method: 'activated-charcoal',
        lot: 'AC-26-1',
        kitCount: 20,
        expiresOn: '2027-01-01',
      },
    }),
  )
  const system = made(
    await client.POST('/v1/properties/{id}/systems', {
      params: { path, ...once() },
      body: { tag: 'DH-12', type: 'sub-slab-suction', installedBy: 'us' },
    }),
  )
  const recorded = made(
    await client.POST('/v1/properties/{id}/tests', {
      params: { path, ...once() },
      body: {
        purpose: 'pre-mitigation',
        method: 'activated-charcoal',
        setAt: set,
        exposures: [
          { locationId: property.testLocations[0]!.id, deviceId: device.id, kitNumber: '0007', startAt: set },
        ],
      },
    }),
  ).test
  const at = (version: number) => ({ path: { id: recorded.id }, header: { 'If-Match': `"${version}"` } })
  const pickedUp = made(
    await client.POST('/v1/tests/{id}/pick-up', {
      params: at(recorded.version),
      body: { pickedUpAt: picked, closedDuring: 'yes' },
    }),
  ).test
  const result = { value: '4.0', unit: 'pCi/L' as const }
  const resulted = made(
    await client.POST('/v1/tests/{id}/results', {
      params: at(pickedUp.version),
      body: { resultInAt: '2026-02-09T17:00:00Z', results: [{ exposureId: recorded.exposures[0]!.id, result }] },
    }),
  )
  const standing = made(await client.GET('/v1/properties/{id}/standing', { params: { path } }))
  // What an older transaction of the server holds back comes when that one has ended.
  const since = async () => made(await client.GET('/v1/changes', { params: { query: { after: begun.next } } }))
  let feed = await since()
  for (let n = 0; n < 600 && !feed.items.some(({ id }) => id === recorded.id); n++) {
    await new Promise(resolve => setTimeout(resolve, 50))
    feed = await since()
  }

  const home = made(await client.GET('/v1/properties/{id}', { params: { path } }))
  const asRead = { path, header: { 'If-Match': `"${home.version}"` } }
  const note = { yearBuilt: 1962, reason: 'Told by the owner' }
  const corrected = made(await client.PATCH('/v1/properties/{id}', { params: asRead, body: note }))
  const stale = await client.PATCH('/v1/properties/{id}', { params: asRead, body: { ...note, yearBuilt: 1963 } })
  return {
    ...{ property, replayed: second, system, recorded, pickedUp, resulted, standing, feed, corrected },
    stale: { status: stale.response.status, problem: stale.error },
  }
}

/** The body of an answer that is no refusal. */
function made<T>(answer: { data?: T; error?: unknown; response: Response }): NonNullable<T> {
  if (!answer.data) throw new Error(`${answer.response.status} ${answer.response.url}: ${JSON.stringify(answer.error)}`)
  return answer.data
}
