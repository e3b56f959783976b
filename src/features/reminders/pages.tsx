import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { endOfDay, localDayOf } from '../../domain/calendar/local-day.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { pageCursor, readPageCursor } from '../../platform/http/page-cursor.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import type { Message } from '../../web/messages.tsx'
import { paths } from '../../web/paths.ts'
import { type TypedFields, textIn } from '../../web/typed-fields.ts'
import { mailResult } from './mail-result.ts'
import { boxedBody, boxMay, MailView, type ShownAddress } from './mail-view.tsx'
import { mailedAddress } from './mailed-address.ts'
import {
  dueUntil,
  heldImports,
  type MailState,
  mailCounts,
  mailStates,
  mailsIn,
  readMail,
  readRelease,
} from './outbox-queries.ts'
import { OutboxView, type TestMailBack } from './outbox-view.tsx'
import { resendFailed, resendMail } from './resend-mail.ts'
import { sendTestMail } from './send-test-mail.ts'
import { TodayMailsView } from './today-view.tsx'

export type ReleaseReminders = (tx: Tx, act: Act, version: number, released: boolean) => Promise<void>

const perPage = 50
const instantAndId = z.tuple([z.number(), z.uuid()])
const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })
const outboxQuery = z.strictObject({ state: z.enum(mailStates).optional(), after: z.string().max(400).optional() })
const releaseForm = z.object({ released: z.enum(['yes', 'no']), version: z.coerce.number().int().min(1) })
// The mail is shown as it was written, in a box that runs nothing and fetches nothing.
const mailPolicy = `default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'self'; sandbox ${boxMay}`
const framing = (policy: unknown) => `${String(policy)}; frame-src 'self'`

type Shown = { readonly after?: string; readonly messages?: readonly Message[]; readonly back?: TestMailBack }

/** The outbox, and what would go out today. */
export const outboxPages =
  (deps: Deps, releaseReminders: ReleaseReminders): FastifyPluginAsyncZod =>
  async app => {
    const { db, config: settings } = deps
    // A start for trying out has no other way to be the homeowner.
    const tryingOut = !settings.production && settings.smtpUrl === null
    const mailed: ShownAddress = tryingOut ? linkId => mailedAddress(settings, linkId) : null
    app.get(paths.outbox(), { config, schema: { querystring: outboxQuery } }, async (request, reply) => {
      const counts = await mailCounts(db)
      const state = request.query.state ?? mailStates.find(one => counts[one]) ?? 'waiting'
      return outboxPage(request, reply, state, counts, { after: request.query.after })
    })

    app.get(paths.outboxToday(), { config }, async (request, reply) => {
      const [{ frame, zone }, release, held] = await Promise.all([pageFacts(request), readRelease(db), heldImports(db)])
      const today = localDayOf(request.now, zone)
      const due = await dueUntil(db, request.now, endOfDay(today, zone))
      const mayRelease = hasRole(act(request).actor, 'owner')
      const shown = { due, held, release: release!, today, csrf: frame.csrf, formKey: formKey(), mayRelease }
      return page(
        reply,
        <Frame {...frame} title="What would go out today" place="outbox" wide>
          <TodayMailsView {...shown} />
        </Frame>,
      )
    })

    app.post(paths.outboxToday(), { config: { page: ['owner'] as const } }, async (request, reply) => {
      const { released, version } = releaseForm.parse(request.body)
      return submitting(request, reply, async tx => {
        await releaseReminders(tx, act(request), version, released === 'yes')
        return paths.outboxToday()
      })
    })

    app.post(paths.mailTest(), { config }, async (request, reply) => {
      const typed = textIn(request.body as TypedFields, 'to')
      const to = z.email().safeParse(typed)
      const counts = await mailCounts(db)
      if (to.success)
        return outboxPage(request, reply, 'sent', counts, { messages: [await sendTestMail(deps, to.data)] })
      const faults = [{ name: 'to', message: 'That is no mail address: write it like ann@home.example' }]
      return outboxPage(request, reply, 'sent', counts, { back: { to: typed, faults } })
    })

    app.post(paths.mailStep('failed', 'resend'), { config }, async (request, reply) =>
      submitting(request, reply, async tx => {
        await resendFailed(tx, act(request), deps)
        return paths.outbox({ state: 'waiting' })
      }),
    )

    app.post(paths.mailStep(':id', 'resend'), { config, schema: { params } }, async (request, reply) =>
      submitting(request, reply, async tx => {
        await resendMail(tx, act(request), deps, request.params.id)
        return paths.mail(request.params.id)
      }),
    )

    app.post(paths.testStep(':id', 'mail-result'), { config, schema: { params } }, async (request, reply) =>
      submitting(request, reply, async tx => {
        const by = { now: request.now, requestId: request.id }
        const to = z.uuid().safeParse(textIn(request.body as TypedFields, 'to')).data ?? null
        return paths.mail(await mailResult(tx, deps, request.params.id, by, { to }))
      }),
    )

    app.get(paths.mail(':id'), { config, schema: { params } }, async (request, reply) => {
      const [{ frame, zone }, mail] = await Promise.all([pageFacts(request), readMail(db, request.params.id)])
      if (!mail) throw notFound('mail')
      const shown = { mail, mailed, zone, today: localDayOf(request.now, zone), csrf: frame.csrf, formKey: formKey() }
      reply.header('content-security-policy', framing(reply.getHeader('content-security-policy')))
      return page(
        reply,
        <Frame {...frame} title={mail.subject} place="outbox">
          <MailView {...shown} />
        </Frame>,
      )
    })

    app.get(paths.mailStep(':id', 'html'), { config, schema: { params } }, async (request, reply) => {
      const mail = await readMail(db, request.params.id)
      if (!mail) throw notFound('mail')
      reply.header('content-security-policy', mailPolicy).type('text/html; charset=utf-8')
      return reply.send(boxedBody(mail, mailed))
    })

    async function outboxPage(
      request: FastifyRequest,
      reply: FastifyReply,
      state: MailState,
      counts: Partial<Record<MailState, number>>,
      { after, messages = [], back }: Shown,
    ) {
      const [{ frame, zone }, release] = await Promise.all([pageFacts(request), readRelease(db)])
      if (back) reply.code(422)
      const rows = await mailsIn(db, state, readPageCursor(instantAndId, after), perPage)
      const mails = rows.slice(0, perPage)
      const last = rows.length > perPage ? mails.at(-1) : undefined
      const next = last ? paths.outbox({ state, after: pageCursor([last.createdAt, last.id]) }) : null
      const released = release?.releasedAt != null
      const shown = { released, state, counts, mails, next, zone, csrf: frame.csrf, formKey: formKey() }
      return page(
        reply,
        <Frame {...frame} title="Outbox" place="outbox" messages={messages} faulty={back !== undefined} wide>
          <OutboxView {...shown} back={back} today={localDayOf(request.now, zone)} />
        </Frame>,
      )
    }
  }
