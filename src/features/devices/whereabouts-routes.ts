import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { type Place, type Whereabouts, whereaboutsOf } from '../../domain/devices/whereabouts-of.ts'
import type { Deps } from '../../platform/deps.ts'
import { taggedByContent } from '../../platform/http/etag.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id, instantOut, instantText, localDay } from '../../platform/http/scalars.ts'
import { monitorFacts } from '../../standing/monitor-facts.ts'

const params = z.strictObject({ id })

const whereaboutsOut = z
  .object({
    deviceId: id,
    place: z.enum(['home', 'away', 'lost', 'retired', 'shop']),
    propertyId: id.nullable().meta({ description: 'The home where it stands, for who may see that home' }),
    testId: id.nullable(),
    since: instantOut.nullable().meta({ description: 'Set there at' }),
    pickUpAt: instantOut.nullable(),
    pickUpBecause: z.enum(['visit', 'booking', 'shortest-test']).nullable(),
    awayFor: z.enum(['calibration', 'repair', 'lent']).nullable(),
    awaySince: localDay.nullable(),
    expectedBackOn: localDay.nullable(),
    late: z.boolean().meta({ description: 'Not picked up, or not back, on the day' }),
    nextBookingFrom: instantOut.nullable(),
    nextBookingUntil: instantOut.nullable(),
    calibratedUntil: localDay.nullable(),
  })
  .meta({ id: 'Whereabouts' })

const nowhere = {
  propertyId: null,
  testId: null,
  since: null,
  pickUpAt: null,
  pickUpBecause: null,
  awayFor: null,
  awaySince: null,
  expectedBackOn: null,
  late: false,
}

function presentPlace(place: Place) {
  if (place.kind === 'home') {
    const { stay, pickUp, late } = place
    const mine = stay.home === null ? {} : { propertyId: stay.propertyId, testId: stay.testId }
    const times = { since: instantText(stay.since), pickUpAt: instantText(pickUp.at), pickUpBecause: pickUp.because }
    return { ...nowhere, ...mine, ...times, late }
  }
  if (place.kind === 'away')
    return {
      ...nowhere,
      awayFor: place.reason,
      awaySince: place.since,
      expectedBackOn: place.expectedBackOn,
      late: place.late,
    }
  return place.kind === 'lost' ? { ...nowhere, awaySince: place.since } : nowhere
}

const presentWhereabouts = (deviceId: string, { place, next, calibratedUntil }: Whereabouts) => ({
  deviceId,
  place: place.kind,
  ...presentPlace(place),
  nextBookingFrom: next ? instantText(next.from) : null,
  nextBookingUntil: next ? instantText(next.until) : null,
  calibratedUntil,
})

/** Where a monitor is, reckoned from tests, visits, bookings and times away. */
export const whereaboutsRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/devices/:id/whereabouts',
      {
        config: { scope: 'devices:read' },
        schema: {
          operationId: 'readWhereabouts',
          summary: 'Where a monitor is, until when, and its next booking',
          tags: ['devices'],
          params,
          response: { 200: whereaboutsOut },
        },
      },
      async (request, reply) => {
        const [monitor] = await monitorFacts(db, act(request), [request.params.id])
        if (!monitor) throw notFound('monitor')
        return taggedByContent(
          request,
          reply,
          presentWhereabouts(monitor.deviceId, whereaboutsOf(monitor, request.now)),
        )
      },
    )
  }
