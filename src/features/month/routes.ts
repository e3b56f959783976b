import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { monthOf } from '../../domain/calendar/month.ts'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { listOutreach, readOutreach } from './outreach-queries.ts'
import { presentDueHome, presentOutreach } from './present.ts'
import { type MonthAsked, monthSettings, readMonth, wholeMonth } from './queries.ts'
import { recordOutreach, voidOutreach } from './record-outreach.ts'
import {
  dueHomeList,
  dueHomesQuery,
  newOutreach,
  outreachList,
  outreachListQuery,
  outreachOut,
  voiding,
} from './schemas.ts'

const tags = ['month']
const params = z.strictObject({ id })
const reads = { scope: 'visits:read' }
const writes = { scope: 'visits:write' }

/** The month's list, and what came of trying to make a date. */
export const monthRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/due-homes',
      {
        config: reads,
        schema: {
          operationId: 'listDueHomes',
          summary: 'Homes that owe a retest, or whose fan has reached the company’s age, by the end of a month',
          description:
            'By town, postcode and street, each with how far it has come. This month when none is given. Homes whose ' +
            'fan is of unknown age are listed with the state `fan-unknown` only.',
          tags,
          querystring: dueHomesQuery,
          response: { 200: dueHomeList },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const settings = await monthSettings(db, request.now)
        const {
          month = monthOf(settings.today),
          kind = null,
          state = null,
          region = null,
          where = null,
        } = request.query
        const { limit } = request.query
        const after = readCursor(request) as MonthAsked['after']
        const asked = { ...wholeMonth, month, kind, state, region, where, after, limit, contacts: false }
        const { homes: rows } = await readMonth(db, who, settings, asked)
        await auditRead(
          db,
          who,
          'property',
          rows.slice(0, limit).map(home => ({ id: home.id, propertyId: home.id })),
        )
        return listed(request, reply, {
          rows,
          limit,
          cursor: home => [home.city, home.postcode, home.street, home.id],
          present: presentDueHome,
        })
      },
    )

    app.get(
      '/outreach',
      {
        config: reads,
        schema: {
          operationId: 'listOutreach',
          summary: 'Calls that were made and what was put off, newest first',
          tags,
          querystring: outreachListQuery,
          response: { 200: outreachList },
        },
      },
      async (request, reply) => {
        const { limit, propertyId } = request.query
        const who = act(request)
        const before = readCursor(request)?.[0] as string | undefined
        const rows = await listOutreach(db, who, { propertyId, before, limit })
        await auditRead(db, who, 'outreach', rows.slice(0, limit))
        return listed(request, reply, { rows, limit, cursor: row => [row.id], present: presentOutreach })
      },
    )

    app.post(
      '/properties/:id/outreach',
      {
        config: writes,
        schema: {
          operationId: 'recordOutreach',
          summary: 'Note that a home was called, or put off what it owes to another month',
          tags,
          params,
          body: newOutreach,
          response: { 201: outreachOut },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const who = act(request)
          const outreachId = await recordOutreach(tx, who, request.params.id, request.body)
          const body = presentOutreach(await readOutreach(tx, who, outreachId))
          return { location: `/v1/outreach/${outreachId}`, version: 1, body }
        }),
    )

    app.get(
      '/outreach/:id',
      {
        config: reads,
        schema: {
          operationId: 'readOutreach',
          summary: 'One call, or one putting off',
          tags,
          params,
          response: { 200: outreachOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const row = await readOutreach(db, who, request.params.id)
        await auditRead(db, who, 'outreach', [row])
        return tagged(request, reply, row.version, presentOutreach(row))
      },
    )

    app.post(
      '/outreach/:id/void',
      {
        config: writes,
        schema: {
          operationId: 'voidOutreach',
          summary: 'Take back a call or a putting off that was noted wrongly',
          tags,
          params,
          body: voiding,
          response: { 200: outreachOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const version = ifMatch(request)
        const { id: outreachId } = request.params
        const row = await db.transaction(async tx => {
          await voidOutreach(tx, who, outreachId, version, request.body.reason)
          return readOutreach(tx, who, outreachId)
        })
        return tagged(request, reply, row.version, presentOutreach(row))
      },
    )
  }
