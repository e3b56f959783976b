import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Standing } from '../../domain/answers.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { linkIdFrom } from '../../platform/auth/link-token.ts'
import type { Db, Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { chosenScheme } from '../../platform/http/chosen-scheme.ts'
import { formKey, page } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { readStanding } from '../../standing/read-standing.ts'
import type { RecordFacts } from '../../web/chart/record-facts.ts'
import { HomeownerFrame } from '../../web/homeowner-frame.tsx'
import type { Message } from '../../web/messages.tsx'
import { paths } from '../../web/paths.ts'
import type { SectionFacts } from '../../web/section/section-facts.ts'
import { dateReadingFor, type TypedFields } from '../../web/typed-fields.ts'
import type { FormsProps } from './forms-view.tsx'
import { HomeView } from './home-view.tsx'
import { keepReport } from './keep-report.ts'
import { NeutralPage, StopPage } from './neutral-view.tsx'
import { actAsHomeowner, csrfOfLink, keepToken, linkOfToken, openedLink } from './open-link.ts'
import { type OpenLink, previewOf, recipientOf } from './queries.ts'
import { readReport } from './read-report.ts'

/** What belongs to other features: the picture of a home, and a person's wish for mails. */
export type HomeownerVerbs = {
  drawHome(
    db: Db,
    who: Pick<Act, 'actor' | 'now'>,
    propertyId: string,
    standing: Standing | null,
  ): Promise<{ section: SectionFacts; record: RecordFacts | null }>
  stopMails(tx: Tx, act: Act, customerId: string, stopped: boolean): Promise<void>
}

const reading = { open: 'the link is the permission', noCsrf: 'it changes nothing' }
const sending = { open: 'the link is the permission', rate: { name: 'homeowner-form', max: 20, windowMs: 60_000 } }
const params = z.strictObject({ id: z.uuid() })
const tokenParams = z.strictObject({ token: z.string().max(200) })
const saidQuery = z.strictObject({ said: z.enum(['report', 'stopped', 'started']).optional() })
const thanks: Record<string, Message> = {
  report: { kind: 'done', text: 'We have it. The company sees what you sent and answers you.' },
  stopped: { kind: 'done', text: 'The mails are stopped.' },
  started: { kind: 'done', text: 'The mails come again.' },
}

/** Pages behind a mailed link. Opening any of them changes nothing. */
export const homeownerPages =
  ({ db, config }: Deps, verbs: HomeownerVerbs): FastifyPluginAsyncZod =>
  async app => {
    app.addHook('onRequest', async (_, reply) => void reply.header('referrer-policy', 'no-referrer'))

    app.get(paths.homeowner(':token'), { config: reading, schema: { params: tokenParams } }, async (request, reply) => {
      const link = await linkOfToken(request, request.params.token)
      if (!link) return closed(request, reply)
      keepToken(request, reply, link.linkId, request.params.token)
      return reply.redirect(paths.homeownerPage(link.linkId), 303)
    })

    const home = { config: reading, schema: { params, querystring: saidQuery } }
    app.get(paths.homeownerPage(':id'), home, async (request, reply) => {
      const link = await openedLink(request, request.params.id)
      if (!link) return closed(request, reply)
      const said = thanks[request.query.said ?? '']
      return homePage(request, reply, link, said ? [said] : [])
    })

    const form = { config: sending, schema: { params }, onRequest: actAsHomeowner }
    app.post(paths.homeownerReport(':id'), form, async (request, reply) => {
      const link = (await openedLink(request, request.params.id))!
      const typed = request.body as TypedFields
      const read = readReport(typed, readingFor(link, request.now))
      if (!read.ok) return homePage(request, reply, link, [], { kind: read.kind, typed, faults: read.faults })
      return submitting(request, reply, async tx => {
        await keepReport(tx, act(request), link, read)
        return paths.homeownerPage(link.linkId, 'report')
      })
    })

    app.post(paths.homeownerMails(':id'), form, async (request, reply) => {
      const stopped = (request.body as TypedFields).wish !== 'start'
      const { actor } = request
      if (actor?.kind !== 'homeowner') throw notFound('page')
      return submitting(request, reply, async tx => {
        await verbs.stopMails(tx, act(request), actor.id, stopped)
        return paths.homeownerPage(request.params.id, stopped ? 'stopped' : 'started')
      })
    })

    const stop = {
      config: { ...reading, noCsrf: 'RFC 8058: posted by a mail program' },
      schema: { params: tokenParams },
    }
    app.get(paths.stopMails(':token'), stop, async (request, reply) => {
      const { token } = request.params
      const linkId = linkIdFrom(config.linkKeys, token)
      if (!linkId || !(await recipientOf(db, linkId))) return closed(request, reply)
      return page(reply, <StopPage action={paths.stopMails(token)} stopped={false} />)
    })

    app.post(paths.stopMails(':token'), stop, async (request, reply) => {
      const linkId = linkIdFrom(config.linkKeys, request.params.token)
      const person = linkId && (await recipientOf(db, linkId))
      if (!person) return closed(request, reply)
      const by: Act = { actor: { kind: 'system', id: null }, now: request.now, requestId: request.id }
      await db.transaction(tx => verbs.stopMails(tx, by, person.customerId, true))
      return page(reply, <StopPage action="" stopped />)
    })

    const office = { config: { page: ['owner', 'office'] as const }, schema: { params } }
    app.get(paths.homeLink(':id'), office, async (request, reply) => {
      const { id } = request.params
      const drawn = await verbs.drawHome(db, act(request), id, null)
      const link = await previewOf(db, id, request.now)
      if (!drawn || !link) throw notFound('home')
      return homePage(request, reply, link, [])
    })

    async function homePage(
      request: FastifyRequest,
      reply: FastifyReply,
      link: OpenLink,
      messages: readonly Message[],
      back?: FormsProps['back'],
    ) {
      const staff = request.actor?.kind === 'staff'
      const who = { actor: { kind: 'system', id: null }, now: request.now } as const
      const kept = await readStanding(db, link.propertyId)
      const drawn = await verbs.drawHome(db, who, link.propertyId, kept?.standing ?? null)
      if (back) reply.code(422)
      const shown = staff ? { ...link, linkId: '' } : link
      return page(
        reply,
        <HomeownerFrame
          title="Radon in your home"
          home={link.address}
          company={link.company}
          scheme={chosenScheme(request)}
          here={staff ? undefined : paths.homeownerPage(link.linkId)}
          messages={staff ? [preview, ...messages] : messages}
          faulty={back !== undefined}
        >
          <HomeView
            link={shown}
            csrf={csrfOfLink(request, link.linkId)}
            formKey={formKey()}
            back={back}
            standing={kept?.standing ?? null}
            today={localDayOf(request.now, link.zone)}
            {...drawn}
          />
        </HomeownerFrame>,
      )
    }
  }

const preview: Message = {
  kind: 'note',
  text: 'You see this page as staff, as the homeowner would get it. Only they can send its forms.',
}

const readingFor = (link: OpenLink, now: number) => ({
  ...dateReadingFor(link, now),
  rooms: link.rooms.map(room => room.id),
  systems: link.systems.map(system => system.id),
})

const closed = (request: FastifyRequest, reply: FastifyReply) => {
  request.log.info({ route: request.routeOptions.url }, 'a link that does not open')
  return page(reply.code(404), <NeutralPage />)
}
