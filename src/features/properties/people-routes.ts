import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged, tagOfShown } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { changeOwner } from './change-owner.ts'
import { addPerson, endPerson } from './change-people.ts'
import { readPeople } from './people-queries.ts'
import {
  newPerson,
  ownerChange,
  ownershipList,
  ownershipOut,
  personEnd,
  personList,
  personOut,
} from './people-schemas.ts'
import { presentOwnership, presentPerson, seesContacts } from './present.ts'

const ofHome = z.strictObject({ id })
const one = z.strictObject({ id, personId: id })
const tags = ['properties']
const reads = { config: { scope: 'properties:read' } }
const writes = { config: { scope: 'properties:write' } }

/** Who owns a home, and who else is around it. */
export const peopleRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const around = async (request: Parameters<typeof act>[0], homeId: string) => {
      const who = act(request)
      const home = await seenHome(db, who, homeId)
      const contacts = seesContacts(who.actor)
      const people = await readPeople(db, home.id)
      const looked = people.map(person => ({ id: person.customerId, propertyId: home.id }))
      if (contacts) await auditRead(db, who, 'customer', looked)
      return { people, contacts }
    }

    const listOwners = {
      operationId: 'listOwnership',
      summary: 'Owners of a home, today’s first',
      tags,
      params: ofHome,
      response: { 200: ownershipList },
    }
    app.get('/properties/:id/ownership', { ...reads, schema: listOwners }, async (request, reply) => {
      const { people, contacts } = await around(request, request.params.id)
      const owners = people.filter(person => person.role === 'owner')
      const items = owners.map(person => presentOwnership(person, contacts))
      return tagged(request, reply, tagOfShown(versionsOf(owners), contacts), { items })
    })

    const newOwner = {
      operationId: 'changeOwner',
      summary: 'A home changes hands',
      description:
        'Ends the old ownership on the day the new one begins, closes the old owner’s links, keeps a sale as an event.',
      tags,
      params: ofHome,
      body: ownerChange,
      response: { 201: ownershipOut },
    }
    app.post('/properties/:id/ownership', { ...writes, schema: newOwner }, async (request, reply) =>
      creating(request, reply, async tx => {
        const who = act(request)
        const { ownershipId } = await changeOwner(tx, who, request.params.id, request.body)
        const owner = (await readPeople(tx, request.params.id)).find(person => person.id === ownershipId)!
        const location = `/v1/properties/${request.params.id}/ownership`
        return { location, version: owner.version, body: presentOwnership(owner, seesContacts(who.actor)) }
      }),
    )

    const listPeople = {
      operationId: 'listPeopleOfProperty',
      summary: 'People around a home other than its owners',
      tags,
      params: ofHome,
      response: { 200: personList },
    }
    app.get('/properties/:id/people', { ...reads, schema: listPeople }, async (request, reply) => {
      const { people, contacts } = await around(request, request.params.id)
      const others = people.filter(person => person.role !== 'owner')
      return tagged(request, reply, tagOfShown(versionsOf(others), contacts), {
        items: others.map(person => presentPerson(person, contacts)),
      })
    })

    const onePerson = {
      operationId: 'readPersonOfProperty',
      summary: 'One person around a home',
      tags,
      params: one,
      response: { 200: personOut },
    }
    app.get('/properties/:id/people/:personId', { ...reads, schema: onePerson }, async (request, reply) => {
      const { people, contacts } = await around(request, request.params.id)
      const person = people.find(({ id, role }) => id === request.params.personId && role !== 'owner')
      if (!person) throw notFound('person')
      return tagged(request, reply, tagOfShown(person.version, contacts), presentPerson(person, contacts))
    })

    const add = {
      operationId: 'addPersonToProperty',
      summary: 'Put a customer beside a home, in a part other than its owner’s',
      tags,
      params: ofHome,
      body: newPerson,
      response: { 201: personOut },
    }
    app.post('/properties/:id/people', { ...writes, schema: add }, async (request, reply) =>
      creating(request, reply, async tx => {
        const who = act(request)
        const added = await addPerson(tx, who, request.params.id, request.body)
        const person = (await readPeople(tx, request.params.id)).find(({ id }) => id === added)!
        const location = `/v1/properties/${request.params.id}/people/${added}`
        return { location, version: person.version, body: presentPerson(person, seesContacts(who.actor)) }
      }),
    )

    const end = {
      operationId: 'endPersonOfProperty',
      summary: 'Somebody’s part around a home ends',
      tags,
      params: one,
      body: personEnd,
      response: { 204: z.null() },
    }
    app.post('/properties/:id/people/:personId/end', { ...writes, schema: end }, async (request, reply) => {
      const ids = { propertyId: request.params.id, personId: request.params.personId }
      await db.transaction(tx => endPerson(tx, act(request), ids, ifMatch(request), request.body.untilOn))
      return reply.code(204).send(null)
    })
  }

// A list this short is shown whole; its tag is the versions of what it holds.
const versionsOf = (people: readonly { id: string; version: number }[]): string =>
  people.map(({ id, version }) => `${id.slice(-12)}-${version}`).join('_') || 'none'
