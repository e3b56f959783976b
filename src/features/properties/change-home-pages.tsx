import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, page, readForm, withFieldProblems } from '../../platform/http/forms.ts'
import { differences, isOvertaken } from '../../platform/http/overtaken.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { ChangeHomeForms } from './change-home-view.tsx'
import { correctProperty, voidProperty } from './correct-property.ts'
import { faultsOf } from './form-page.ts'
import type { HomeTyped } from './home-fields.tsx'
import { changeHomeForm, voidHomeForm } from './home-forms.ts'
import { streetOf } from './home-view.tsx'
import { homeParams } from './page-schemas.ts'
import { readProperty } from './queries.ts'

const config = { page: ['owner', 'office'] as const }
const schema = { params: homeParams }
const fields = [
  ...['street', 'unit', 'city', 'region', 'postcode', 'country', 'zone', 'jurisdiction', 'buildingUse'],
  ...['yearBuilt', 'storeys', 'accessNote', 'gateCode', 'dogNote', 'note'],
]
type Back = {
  overtaken?: boolean
  typed?: HomeTyped
  problems?: readonly FieldProblem[]
  voidProblems?: readonly FieldProblem[]
}

export const changeHomePages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.changeHome(':id'), { config, schema }, async (request, reply) =>
      formPage(request, reply, request.params.id, {}),
    )

    app.post(paths.changeHome(':id'), { config, schema }, async (request, reply) => {
      const { id } = request.params
      const typed = request.body as HomeTyped
      const read = readForm(changeHomeForm, request.body)
      if (!read.ok) return formPage(request, reply, id, { typed, problems: read.problems })
      const { version, patch } = read.data
      const saved = await withFieldProblems(() =>
        db.transaction(tx => correctProperty(tx, act(request), id, version, patch)),
      ).catch((error: unknown) => {
        if (isOvertaken(error)) return null
        throw error
      })
      if (!saved) return formPage(request, reply, id, { typed, overtaken: true })
      if (!saved.ok) return formPage(request, reply, id, { typed, problems: saved.problems })
      return reply.redirect(paths.home(id), 303)
    })

    app.post(`${paths.changeHome(':id')}/void`, { config, schema }, async (request, reply) => {
      const { id } = request.params
      const read = readForm(voidHomeForm, request.body)
      if (!read.ok) return formPage(request, reply, id, { voidProblems: read.problems })
      await db.transaction(tx => voidProperty(tx, act(request), id, read.data.version, read.data.voidReason))
      return reply.redirect(paths.home(id), 303)
    })

    async function formPage(request: FastifyRequest, reply: FastifyReply, id: string, back: Back) {
      const home = await readProperty(db, act(request), id)
      const { frame } = await pageFacts(request)
      const shown: HomeTyped = { ...home, zone: home.zoneSource === 'given' ? home.zone : '' }
      const { typed = shown, overtaken = false, voidProblems } = back
      const problems = overtaken ? differences(shown, typed, fields) : back.problems
      const faulty = problems !== undefined || voidProblems !== undefined
      if (faulty) reply.code(overtaken ? 412 : 422)
      const version = overtaken ? home.version : Number(typed.version)
      return page(
        reply,
        <Frame {...frame} title="Correct a home" home={streetOf(home)} place="homes" faulty={faulty}>
          <h1>Correct this home</h1>
          <ChangeHomeForms
            {...{ id, version, csrf: frame.csrf }}
            typed={typed}
            faults={faultsOf(problems)}
            voidFaults={faultsOf(voidProblems)}
          />
        </Frame>,
      )
    }
  }
