import { createHash } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { at, sql, type Tx } from '../db/client.ts'
import { Problem, problem } from './problem.ts'

/** How long an answer is kept for its key. */
export const keptFor = 72 * 3_600_000

export type Created = {
  readonly location: string
  readonly version?: number
  readonly etag?: string
  readonly body: unknown
}
type Kept = { fingerprint: Buffer; status: number; headers: Record<string, string>; body: string }
type Claim = { readonly mine: boolean } & (Kept | { readonly status: null })
type Place = { readonly actor: string; readonly route: string; readonly key: string }

const claim = sql(
  'idempotency-claim',
  `select pg_try_advisory_xact_lock(hashtextextended(concat_ws(' ', $1::text, $2::text, $3::text), 0)) as mine,
     k.fingerprint, k.status, k.headers, k.body
   from (values (1)) place left join idempotency k on k.actor = $1 and k.route = $2 and k.key = $3 and k.at > $4`,
)
// An answer that is still good stays: it came between this claim's reading and its lock, and this transaction must go.
const keep = sql(
  'idempotency-keep',
  `insert into idempotency (actor, route, key, fingerprint, status, headers, body, at)
   values ($1, $2, $3, $4, $5, $6, $7, $8)
   on conflict (actor, route, key) do update set fingerprint = excluded.fingerprint, status = excluded.status,
     headers = excluded.headers, body = excluded.body, at = excluded.at where idempotency.at <= $9
   returning 1`,
)
const forget = sql('idempotency-forget', 'delete from idempotency where at <= $1')
/** Drops answers that are past their time. */
export const forgetOldAnswers = (tx: Tx, now: number) => tx.rows(forget, [at(now - keptFor)])

/**
 * Runs a creating POST once for its Idempotency-Key (draft-ietf-httpapi-idempotency-key-header-07): the answer is
 * kept in the transaction of the effect and given again for the same key and body. 400 without a key, 422 for the
 * key with another body, 409 while the first is running.
 */
export async function creating(
  request: FastifyRequest,
  reply: FastifyReply,
  work: (tx: Tx) => Promise<Created>,
): Promise<FastifyReply> {
  const answer = await once(request, keyFrom(request), async tx => {
    const made = await work(tx)
    reply.code(201)
    const etag = made.etag ?? (made.version === undefined ? undefined : String(made.version))
    const headers: Record<string, string> = { location: made.location, ...(etag ? { etag: `"${etag}"` } : {}) }
    return { status: 201, headers, body: String(reply.serialize(made.body as object)) }
  })
  return reply
    .code(answer.status)
    .headers({ ...answer.headers, ...(answer.replayed ? { 'idempotency-replayed': 'true' } : {}) })
    .type('application/json; charset=utf-8')
    .serializer((payload: unknown) => payload as string)
    .send(answer.body)
}

/** The same for a form: the hidden `_key` is the key, the answer is where to go (303). */
export async function submitting(
  request: FastifyRequest,
  reply: FastifyReply,
  work: (tx: Tx) => Promise<string>,
): Promise<FastifyReply> {
  const key = (request.body as { _key?: unknown } | undefined)?._key
  if (typeof key !== 'string' || key.length < 8 || key.length > 200)
    throw problem(400, 'form-incomplete', 'The form came without its key; open the page again and repeat.')
  const answer = await once(request, key, async tx => ({ status: 303, headers: {}, body: await work(tx) }))
  return reply.redirect(answer.body, 303)
}

async function once(
  request: FastifyRequest,
  key: string,
  work: (tx: Tx) => Promise<{ status: number; headers: Record<string, string>; body: string }>,
) {
  const { actor, now, deps } = request
  const place: Place = {
    actor: `${actor?.kind ?? 'open'}:${actor?.id ?? ''}`,
    route: `${request.method} ${request.routeOptions.url ?? ''}`,
    key,
  }
  const fingerprint = fingerprintOf(request)
  const oldest = at(now - keptFor)
  return deps.db.transaction(async tx => {
    const kept = (await tx.one<Claim>(claim, [place.actor, place.route, place.key, oldest]))!
    if (!kept.mine) throw inProgress()
    if (kept.status !== null && !kept.fingerprint.equals(fingerprint))
      throw problem(
        422,
        'key-reused',
        'This Idempotency-Key came with another body before. Use a new key for a new request.',
      )
    if (kept.status !== null) return { ...kept, replayed: true }
    const made = await work(tx)
    const answer = [fingerprint, made.status, JSON.stringify(made.headers), made.body, at(now), oldest]
    const first = await tx.one(keep, [place.actor, place.route, place.key, ...answer])
    if (!first) throw inProgress()
    return { ...made, replayed: false }
  })
}

const inProgress = () =>
  new Problem(409, 'in-progress', 'The same request is being worked on. Ask again in a moment.', {
    headers: { 'retry-after': '1' },
  })

// A structured-field string is quoted; people send it bare as well.
function keyFrom(request: FastifyRequest): string {
  const header = request.headers['idempotency-key']
  const key = typeof header === 'string' ? header.trim().replace(/^"(.*)"$/, '$1') : ''
  if (!key)
    throw problem(
      400,
      'idempotency-key-needed',
      'Send an Idempotency-Key header with a value you make up for this request.',
    )
  if (key.length > 200 || /[^\x20-\x7e]/.test(key))
    throw problem(
      400,
      'bad-idempotency-key',
      'Idempotency-Key holds more than 200 characters, or one that is not printable ASCII.',
    )
  return key
}

// Files count by their bytes, fields by their text; the hidden fields of a form are not part of what it says.
function fingerprintOf(request: FastifyRequest): Buffer {
  const hash = createHash('sha256').update(`${request.method} ${request.url}\n`)
  const body = request.body
  if (Buffer.isBuffer(body)) hash.update(body)
  else
    hash.update(
      JSON.stringify(body ?? null, (name, value) => {
        if (name === '_csrf' || name === '_key') return undefined
        return value && typeof value === 'object' && Buffer.isBuffer((value as { bytes?: unknown }).bytes)
          ? createHash('sha256')
              .update((value as { bytes: Buffer }).bytes)
              .digest('hex')
          : value
      }),
    )
  return hash.digest()
}
