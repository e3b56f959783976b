import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { LocalDay } from '../../domain/facts.ts'
import type { Actor } from '../../platform/auth/actor.ts'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { type ChaseLine, chaseList, placeInList } from './chase-list.ts'
import { type ChaseOut, chaseListOut, chaseQuery } from './chase-schemas.ts'

const seesPeople = (actor: Actor) => actor.kind !== 'app' || actor.scopes.includes('contacts:read')

function presentChase(line: ChaseLine, today: LocalDay, people: boolean): ChaseOut {
  return {
    kind: line.kind,
    dueOn: line.dueOn,
    overdue: line.dueOn < today,
    reason: line.reason,
    nextStep: line.act,
    name: line.name,
    deviceId: line.deviceId,
    kitId: line.kitId,
    testId: line.testId,
    propertyId: line.home?.id ?? null,
    address: line.home?.address ?? null,
    ...(people ? { person: line.asked?.person ?? null, phone: line.asked?.phone ?? null } : {}),
  }
}

/** What is lent out and has to be run after. */
export const chaseRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/chase',
      {
        config: { scope: 'devices:read' },
        schema: {
          operationId: 'listChase',
          summary: 'Monitors and kits that have to be run after, the most urgent first, and how many are out',
          description:
            'Reckoned from tests, visits, bookings, times away and the days of kits. After how many days a kit is ' +
            'chased is set per kind (`/v1/kit-limits`).',
          tags: ['devices'],
          querystring: chaseQuery,
          response: { 200: chaseListOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const { limit, propertyId, deviceId } = request.query
        const { lines, today, counts } = await chaseList(db, who)
        const after = String(readCursor(request)?.[0] ?? '')
        const rows = lines
          .filter(({ home }) => propertyId === undefined || home?.id === propertyId)
          .filter(line => deviceId === undefined || line.deviceId === deviceId)
          .filter(line => placeInList(line) > after)
          .slice(0, limit + 1)
        const homes = new Set(rows.slice(0, limit).flatMap(({ home }) => home?.id ?? []))
        await auditRead(
          db,
          who,
          'property',
          [...homes].map(id => ({ id, propertyId: id })),
        )
        const people = seesPeople(who.actor)
        const present = (line: ChaseLine) => presentChase(line, today, people)
        return listed(request, reply, { rows, limit, cursor: line => [placeInList(line)], present, beside: { counts } })
      },
    )
  }
