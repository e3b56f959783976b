import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, readForm, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { problem } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import {
  addFoundationArea,
  addTestLocation,
  correctTestLocation,
  voidFoundationArea,
  voidTestLocation,
} from './change-parts.ts'
import { faultsOf, unprefixed } from './form-page.ts'
import type { HomeTyped } from './home-fields.tsx'
import { streetOf } from './home-view.tsx'
import { homeParams, partPageParams } from './page-schemas.ts'
import { readProperty } from './queries.ts'
import { areaForm, removalFrom, roomCorrectionForm, roomForm } from './room-forms.ts'
import { type RoomsBack, RoomsView } from './rooms-view.tsx'

const config = { page: ['owner', 'office'] as const }
const ofHome = { config, schema: { params: homeParams } }
const ofPart = { config, schema: { params: partPageParams } }

export const roomsPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.homeRooms(':id'), ofHome, async (request, reply) =>
      roomsPage(request, reply, request.params.id, null),
    )

    app.post(paths.homeRooms(':id'), ofHome, async (request, reply) => {
      const { id } = request.params
      const typed = request.body as HomeTyped
      const read = readForm(roomForm, request.body)
      if (!read.ok) return roomsPage(request, reply, id, { form: 'room', typed, faults: faultsOf(read.problems) })
      const added = await withFieldProblems(() =>
        submitting(request, reply, async tx => {
          await addTestLocation(tx, act(request), id, read.data)
          return paths.homeRooms(id)
        }),
      )
      return added.ok ? reply : roomsPage(request, reply, id, { form: 'room', typed, faults: faultsOf(added.problems) })
    })

    app.post(`${paths.homeRooms(':id')}/:partId/correction`, ofPart, async (request, reply) => {
      const { id, partId } = request.params
      const read = readForm(roomCorrectionForm, unprefixed(request.body, `${partId.slice(-6)}-`))
      const [fault] = read.ok ? [] : read.problems
      if (!read.ok)
        throw problem(
          422,
          'impossible',
          `${fault?.field}: ${fault?.message}. Nothing was saved; go back and correct it.`,
        )
      const { version, patch } = read.data
      await db.transaction(tx => correctTestLocation(tx, act(request), { propertyId: id, partId }, version, patch))
      return reply.redirect(paths.homeRooms(id), 303)
    })

    app.post(`${paths.homeRooms(':id')}/areas`, ofHome, async (request, reply) => {
      const { id } = request.params
      const read = readForm(areaForm, request.body)
      const typed = request.body as HomeTyped
      if (!read.ok) return roomsPage(request, reply, id, { form: 'area', typed, faults: faultsOf(read.problems) })
      return submitting(request, reply, async tx => {
        await addFoundationArea(tx, act(request), id, read.data)
        return paths.homeRooms(id)
      })
    })

    app.post(`${paths.homeRooms(':id')}/:partId`, ofPart, async (request, reply) => {
      const { id, partId } = request.params
      const { version, reason } = removalFrom(request.body)
      await db.transaction(tx => voidTestLocation(tx, act(request), { propertyId: id, partId }, version, reason))
      return reply.redirect(paths.homeRooms(id), 303)
    })

    app.post(`${paths.homeRooms(':id')}/areas/:partId`, ofPart, async (request, reply) => {
      const { id, partId } = request.params
      const { version, reason } = removalFrom(request.body)
      await db.transaction(tx => voidFoundationArea(tx, act(request), { propertyId: id, partId }, version, reason))
      return reply.redirect(paths.homeRooms(id), 303)
    })

    async function roomsPage(request: FastifyRequest, reply: FastifyReply, id: string, back: RoomsBack | null) {
      const home = await readProperty(db, act(request), id)
      const { frame } = await pageFacts(request)
      if (back) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Rooms and foundation" home={streetOf(home)} place="homes" faulty={back !== null}>
          <RoomsView home={home} csrf={frame.csrf} keys={[formKey(), formKey()]} back={back} />
        </Frame>,
      )
    }
  }
