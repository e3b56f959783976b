import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged, tagOfShown } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { problem } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { correctCustomer, voidCustomer } from './correct-customer.ts'
import { createCustomer } from './create-customer.ts'
import { presentCustomer, seesContacts } from './present.ts'
import { listCustomers, readCustomer } from './queries.ts'
import {
  customerCorrection,
  customerList,
  customerListQuery,
  customerOut,
  customerVoiding,
  newCustomer,
} from './schemas.ts'

const params = z.strictObject({ id })

export const customersRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/customers',
      {
        config: { scope: 'customers:read' },
        schema: {
          operationId: 'listCustomers',
          summary: 'Customers by name',
          tags: ['customers'],
          querystring: customerListQuery,
          response: { 200: customerList },
        },
      },
      async (request, reply) => {
        const { limit, cursor: _, ...filter } = request.query
        const who = act(request)
        const contacts = seesContacts(who.actor)
        if (filter.email && !contacts)
          throw problem(403, 'insufficient-scope', 'Finding people by mail address needs the scope contacts:read.')
        const after = readCursor(request) as [string, string] | null
        const rows = await listCustomers(db, who, { ...filter, after, limit })
        await auditRead(db, who, 'customer', rows.slice(0, limit).map(looked))
        return listed(request, reply, {
          rows,
          limit,
          cursor: customer => [customer.name, customer.id],
          present: customer => presentCustomer(customer, contacts),
        })
      },
    )

    app.post(
      '/customers',
      {
        config: { scope: 'customers:write' },
        schema: {
          operationId: 'createCustomer',
          summary: 'Take up a customer',
          tags: ['customers'],
          body: newCustomer,
          response: { 201: customerOut },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const who = act(request)
          const customer = await createCustomer(tx, who, request.body)
          const body = presentCustomer(customer, seesContacts(who.actor))
          return { location: `/v1/customers/${customer.id}`, version: customer.version, body }
        }),
    )

    app.get(
      '/customers/:id',
      {
        config: { scope: 'customers:read' },
        schema: {
          operationId: 'readCustomer',
          summary: 'One customer',
          tags: ['customers'],
          params,
          response: { 200: customerOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const customer = await readCustomer(db, who, request.params.id)
        await auditRead(db, who, 'customer', [looked(customer)])
        const contacts = seesContacts(who.actor)
        return tagged(request, reply, tagOfShown(customer.version, contacts), presentCustomer(customer, contacts))
      },
    )

    app.patch(
      '/customers/:id',
      {
        config: { scope: 'customers:write' },
        schema: {
          operationId: 'correctCustomer',
          summary: 'Correct a customer',
          description:
            'Merge patch (RFC 7396): what is named changes, null clears. The old values stay in the history.',
          tags: ['customers'],
          params,
          body: customerCorrection,
          response: { 200: customerOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const customer = await db.transaction(tx =>
          correctCustomer(tx, who, request.params.id, ifMatch(request), request.body),
        )
        const contacts = seesContacts(who.actor)
        return tagged(request, reply, tagOfShown(customer.version, contacts), presentCustomer(customer, contacts))
      },
    )

    app.post(
      '/customers/:id/void',
      {
        config: { scope: 'customers:write', refusals: [409] },
        schema: {
          operationId: 'voidCustomer',
          summary: 'Take a customer out of use',
          description:
            'Refused (409) while they are around a home, have a part in work that is not over, or a kit is out with them.',
          tags: ['customers'],
          params,
          body: customerVoiding,
          response: { 200: customerOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const { id: customerId } = request.params
        const voided = await db.transaction(tx =>
          voidCustomer(tx, who, customerId, ifMatch(request), request.body.reason),
        )
        const contacts = seesContacts(who.actor)
        return tagged(request, reply, tagOfShown(voided.version, contacts), presentCustomer(voided, contacts))
      },
    )
  }

const looked = (customer: { id: string }) => ({ id: customer.id, propertyId: null })
