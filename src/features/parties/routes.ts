import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Actor } from '../../platform/auth/actor.ts'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged, tagOfShown } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { listParties, type PartyRow, readParty } from './queries.ts'
import { addParty, endParty, voidParty } from './record-party.ts'
import { newParty, partyEnd, partyList, partyOut, partyQuery, partyVoiding } from './schemas.ts'

const ofHome = z.strictObject({ id })
const one = z.strictObject({ id, partyId: id })
const tags = ['properties']
const reads = { config: { scope: 'properties:read' } }
const writes = { config: { scope: 'properties:write' } }

const seesNames = (actor: Actor) => actor.kind !== 'app' || actor.scopes.includes('contacts:read')
const present = ({ propertyId: _, name, ...party }: PartyRow, names: boolean) => ({
  ...party,
  ...(names ? { name } : {}),
})

/** Who ordered the work at a home, who pays for it, who may see its result. */
export const partiesRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const list = {
      operationId: 'listWorkParties',
      summary: 'Who ordered the work at a home, who pays, who may see its result',
      tags,
      params: ofHome,
      querystring: partyQuery,
      response: { 200: partyList },
    }
    app.get('/properties/:id/work-parties', { ...reads, schema: list }, async (request, reply) => {
      const who = act(request)
      const home = await seenHome(db, who, request.params.id)
      const { subject = null, subjectId = null } = request.query
      const parties = await listParties(db, home.id, subject, subjectId)
      const names = seesNames(who.actor)
      const looked = parties.map(party => ({ id: party.customerId, propertyId: home.id }))
      if (names) await auditRead(db, who, 'customer', looked)
      const versions = parties.map(party => `${party.id.slice(-12)}-${party.version}`).join('_') || 'none'
      return tagged(request, reply, tagOfShown(versions, names), {
        items: parties.map(party => present(party, names)),
      })
    })

    const readOne = {
      operationId: 'readWorkParty',
      summary: 'One part in a piece of work',
      tags,
      params: one,
      response: { 200: partyOut },
    }
    app.get('/properties/:id/work-parties/:partyId', { ...reads, schema: readOne }, async (request, reply) => {
      const who = act(request)
      const home = await seenHome(db, who, request.params.id)
      const party = await readParty(db, home.id, request.params.partyId)
      const names = seesNames(who.actor)
      if (names) await auditRead(db, who, 'customer', [{ id: party.customerId, propertyId: home.id }])
      return tagged(request, reply, tagOfShown(party.version, names), present(party, names))
    })

    const add = {
      operationId: 'addWorkParty',
      summary: 'Say who ordered a piece of work, who pays for it or who may see its result',
      tags,
      params: ofHome,
      body: newParty,
      response: { 201: partyOut },
    }
    app.post('/properties/:id/work-parties', { ...writes, schema: add }, async (request, reply) =>
      creating(request, reply, async tx => {
        const who = act(request)
        const { id: homeId } = request.params
        const added = await addParty(tx, who, homeId, request.body)
        const body = present(await readParty(tx, homeId, added), seesNames(who.actor))
        return { location: `/v1/properties/${homeId}/work-parties/${added}`, version: 1, body }
      }),
    )

    const end = {
      operationId: 'endWorkParty',
      summary: 'The last day of somebody’s part in a piece of work',
      tags,
      params: one,
      body: partyEnd,
      response: { 204: z.null() },
    }
    app.post('/properties/:id/work-parties/:partyId/end', { ...writes, schema: end }, async (request, reply) => {
      const ids = { propertyId: request.params.id, partyId: request.params.partyId }
      await db.transaction(tx => endParty(tx, act(request), ids, ifMatch(request), request.body.lastOn))
      return reply.code(204).send(null)
    })

    const takeBack = {
      operationId: 'voidWorkParty',
      summary: 'Take back what was said by mistake',
      tags,
      params: one,
      body: partyVoiding,
      response: { 204: z.null() },
    }
    app.post('/properties/:id/work-parties/:partyId/void', { ...writes, schema: takeBack }, async (request, reply) => {
      const ids = { propertyId: request.params.id, partyId: request.params.partyId }
      await db.transaction(tx => voidParty(tx, act(request), ids, ifMatch(request), request.body.reason))
      return reply.code(204).send(null)
    })
  }
