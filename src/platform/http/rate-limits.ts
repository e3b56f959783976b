import rateLimit from '@fastify/rate-limit'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Deps } from '../deps.ts'
import type { RateBucket } from './declared-access.ts'
import { Problem } from './problem.ts'
import { sharedCounts } from './shared-counts.ts'

const minute = 60_000

/** What everyone has: an app and a person by who they are, others by the address they come from. */
const general: Readonly<Record<'app' | 'staff' | 'address', RateBucket>> = {
  app: { name: 'app', max: 600, windowMs: minute },
  staff: { name: 'staff', max: 600, windowMs: minute },
  address: { name: 'address', max: 300, windowMs: minute },
}

type Counted = { readonly remaining: number; readonly seconds: number; readonly exceeded: boolean }
type Count = (request: FastifyRequest) => Promise<Counted>

/**
 * Counts requests, over all processes, and refuses those beyond a bucket with 429. Headers are those of
 * draft-ietf-httpapi-ratelimit-headers-10, on answers of the API.
 */
export async function limitRates(app: FastifyInstance, { db, log }: Deps): Promise<void> {
  await app.register(rateLimit, { global: false, store: sharedCounts(db, log) })
  const counters = new Map<string, Count>()
  const counterOf = (bucket: RateBucket): Count => {
    const key = `${bucket.name} ${bucket.max} ${bucket.windowMs}`
    const known = counters.get(key) ?? counter(app, bucket)
    counters.set(key, known)
    return known
  }
  app.addHook('onRequest', async (request, reply) => {
    const { rate, scope } = request.routeOptions.config
    for (const bucket of [generalFor(request), ...(rate ? [rate] : [])]) {
      const counted = await counterOf(bucket)(request)
      if (scope !== undefined) tell(reply, bucket, counted)
      if (counted.exceeded) throw tooMany(request, bucket, counted)
    }
  })
}

const generalFor = ({ actor }: FastifyRequest): RateBucket =>
  actor?.kind === 'app' ? general.app : actor?.kind === 'staff' ? general.staff : general.address

function counter(app: FastifyInstance, bucket: RateBucket): Count {
  const check = app.createRateLimit({
    max: bucket.max,
    timeWindow: bucket.windowMs,
    keyGenerator: request => `${bucket.name}:${request.actor?.id ?? request.ip}`,
  })
  return async request => {
    const counted = await check(request)
    if (counted.isAllowed) return { remaining: bucket.max, seconds: 0, exceeded: false }
    return { remaining: counted.remaining, seconds: counted.ttlInSeconds, exceeded: counted.isExceeded }
  }
}

function tell(reply: FastifyReply, bucket: RateBucket, counted: Counted): void {
  reply.header('ratelimit-policy', `"${bucket.name}";q=${bucket.max};w=${bucket.windowMs / 1000}`)
  reply.header('ratelimit', `"${bucket.name}";r=${counted.remaining};t=${counted.seconds}`)
}

function tooMany(request: FastifyRequest, bucket: RateBucket, { seconds }: Counted): Problem {
  request.log.warn({ bucket: bucket.name, actor: request.actor?.id ?? null, ip: request.ip }, 'rate limit reached')
  const detail = `More than ${bucket.max} requests in ${bucket.windowMs / 1000} s. Try again in ${seconds} s.`
  return new Problem(429, 'too-many-requests', detail, { headers: { 'retry-after': String(Math.max(1, seconds)) } })
}
