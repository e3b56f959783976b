import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { page, readForm, type Typed, withFieldProblems } from '../../platform/http/forms.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { filledText } from '../../platform/http/scalars.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { readApart } from './apart-queries.ts'
import { ApartForm, TakeBackForm } from './apart-view.tsx'
import { pageParams } from './form-schema.ts'
import { readCustomer } from './queries.ts'
import { takeBackApart, tellApart } from './tell-apart.ts'

const config = { page: ['owner', 'office'] as const }
const querystring = z.strictObject({ with: z.uuid(), from: z.literal('list').optional() })
const typedApart = querystring.extend({ reason: filledText(500).optional(), 'take-back': z.literal('yes').optional() })

/** That two entries which look like one person are two: said, with who and when, and taken back. */
export const apartPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.peopleApart(':id'), { config, schema: { params: pageParams, querystring } }, (request, reply) =>
      apartPage(request, reply, { ...request.query, id: request.params.id }),
    )

    app.post(paths.peopleApart(':id'), { config, schema: { params: pageParams } }, async (request, reply) => {
      const { id } = request.params
      const typed = (request.body ?? {}) as Typed
      const asked = querystring.strip().safeParse({ with: typed.with, from: typed.from || undefined }).data
      if (!asked) throw notFound('customer')
      const read = readForm(typedApart, typed)
      if (!read.ok) return apartPage(request, reply, { ...asked, id, typed, faults: faultsFrom(read.problems) })
      const two = [id, asked.with] as const
      const said = await withFieldProblems(() =>
        db.transaction(tx =>
          read.data['take-back']
            ? takeBackApart(tx, act(request), two)
            : tellApart(tx, act(request), two, read.data.reason ?? ''),
        ),
      )
      if (said.ok) return reply.redirect(asked.from ? paths.doubledPeople() : paths.person(id), 303)
      return apartPage(request, reply, { ...asked, id, typed, faults: faultsFrom(said.problems) })
    })

    type Asked = z.output<typeof querystring> & {
      readonly id: string
      readonly typed?: Typed
      readonly faults?: readonly FieldFault[]
    }
    async function apartPage(request: FastifyRequest, reply: FastifyReply, asked: Asked) {
      const { id, from, typed = {}, faults = [] } = asked
      const who = act(request)
      const [one, other] = [await readCustomer(db, who, id), await readCustomer(db, who, asked.with)]
      if (one.voidedAt !== null || other.voidedAt !== null) return reply.redirect(paths.person(id), 303)
      const [said, { frame, zone, country }] = [await readApart(db, id, other.id), await pageFacts(request)]
      if (faults.length > 0) reply.code(422)
      const shown = { one, other, from, typed, faults, csrf: frame.csrf }
      return page(
        reply,
        <Frame {...frame} title="Two people" place="people" faulty={faults.length > 0}>
          {said ? (
            <TakeBackForm {...shown} {...{ said, zone }} today={localDayOf(request.now, zone)} />
          ) : (
            <ApartForm {...shown} country={country} />
          )}
        </Frame>,
      )
    }
  }
