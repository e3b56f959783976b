import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { z } from 'zod'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, formKey, page, readForm, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import {
  addFoundationArea,
  addTestLocation,
  correctFoundationArea,
  correctTestLocation,
  voidFoundationArea,
  voidTestLocation,
} from './change-parts.ts'
import { partPrefix, unprefixed } from './form-page.ts'
import type { HomeTyped } from './home-fields.tsx'
import { streetOf } from './home-view.tsx'
import { homeParams, partPageParams } from './page-schemas.ts'
import { readProperty } from './queries.ts'
import { areaCorrectionForm, areaForm, removalForm, roomCorrectionForm, roomForm } from './room-forms.ts'
import { type RoomsBack, RoomsView } from './rooms-view.tsx'

const config = { page: ['owner', 'office'] as const }
const ofHome = { config, schema: { params: homeParams } }
const ofPart = { config, schema: { params: partPageParams } }

type Sent<S extends z.ZodType> = {
  /** What the names of the form's fields begin with. */
  readonly prefix: string
  readonly form: S
  write(tx: Tx, by: Act, given: z.output<S>): Promise<unknown>
}

/** The rooms and the foundation of a home; each form comes back filled in when it can not be taken. */
export const roomsPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const rooms = paths.homeRooms(':id')
    app.get(rooms, ofHome, async (request, reply) => roomsPage(request, reply, request.params.id, null))

    app.post(rooms, ofHome, async (request, reply) => {
      const { id } = request.params
      const write: Sent<typeof roomForm>['write'] = (tx, by, given) => addTestLocation(tx, by, id, given)
      return answer(request, reply, id, { prefix: '', form: roomForm, write })
    })

    app.post(`${rooms}/areas`, ofHome, async (request, reply) => {
      const { id } = request.params
      const write: Sent<typeof areaForm>['write'] = (tx, by, given) => addFoundationArea(tx, by, id, given)
      return answer(request, reply, id, { prefix: '', form: areaForm, write })
    })

    app.post(`${rooms}/:partId/correction`, ofPart, async (request, reply) => {
      const { id, partId } = request.params
      const write: Sent<typeof roomCorrectionForm>['write'] = (tx, by, { version, patch }) =>
        correctTestLocation(tx, by, { propertyId: id, partId }, version, patch)
      return answer(request, reply, id, { prefix: partPrefix(partId), form: roomCorrectionForm, write })
    })

    app.post(`${rooms}/areas/:partId/correction`, ofPart, async (request, reply) => {
      const { id, partId } = request.params
      const write: Sent<typeof areaCorrectionForm>['write'] = (tx, by, { version, patch }) =>
        correctFoundationArea(tx, by, { propertyId: id, partId }, version, patch)
      return answer(request, reply, id, { prefix: partPrefix(partId), form: areaCorrectionForm, write })
    })

    app.post(`${rooms}/:partId`, ofPart, async (request, reply) => {
      const { id, partId } = request.params
      const write: Sent<typeof removalForm>['write'] = (tx, by, { version, why }) =>
        voidTestLocation(tx, by, { propertyId: id, partId }, version, why)
      return answer(request, reply, id, { prefix: partPrefix(partId), form: removalForm, write })
    })

    app.post(`${rooms}/areas/:partId`, ofPart, async (request, reply) => {
      const { id, partId } = request.params
      const write: Sent<typeof removalForm>['write'] = (tx, by, { version, why }) =>
        voidFoundationArea(tx, by, { propertyId: id, partId }, version, why)
      return answer(request, reply, id, { prefix: partPrefix(partId), form: removalForm, write })
    })

    async function answer<S extends z.ZodType>(
      request: FastifyRequest,
      reply: FastifyReply,
      id: string,
      { prefix, form, write }: Sent<S>,
    ) {
      const back = (problems: readonly FieldProblem[]) => {
        const faults = problems.map(({ field, message }) => ({ name: `${prefix}${field}`, message }))
        return roomsPage(request, reply, id, { action: request.url, typed: request.body as HomeTyped, faults })
      }
      const read = readForm(form, unprefixed(request.body, prefix))
      if (!read.ok) return back(read.problems)
      const done = await withFieldProblems(() =>
        submitting(request, reply, async tx => {
          await write(tx, act(request), read.data)
          return paths.homeRooms(id)
        }),
      )
      return done.ok ? reply : back(done.problems)
    }

    async function roomsPage(request: FastifyRequest, reply: FastifyReply, id: string, back: RoomsBack | null) {
      const home = await readProperty(db, act(request), id)
      const { frame } = await pageFacts(request)
      if (back) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Rooms and foundation" home={streetOf(home)} place="homes" faulty={back !== null}>
          <RoomsView home={home} csrf={frame.csrf} newKey={formKey} back={back} />
        </Frame>,
      )
    }
  }
