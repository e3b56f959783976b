import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { readForm } from '../../platform/http/forms.ts'
import { notFound, problem } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { paths } from '../../web/paths.ts'
import { ownerConfirmed } from './access.ts'
import { setupSecret } from './add-staff.ts'
import { disablePerson, enablePerson } from './change-person.ts'
import { handOver } from './hand-over.tsx'
import { staffById } from './queries.ts'
import { sessionForm, staffParams, versionForm } from './schemas.ts'
import { endSession } from './session-queries.ts'
import { mailStaffLink } from './staff-mail.tsx'

/** What the owner presses on the page of a person. */
export const personStepPages =
  ({ db, mail, config, jobs }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const options = { config: ownerConfirmed, schema: { params: staffParams } }

    for (const [step, work] of [
      ['disable', disablePerson],
      ['enable', enablePerson],
    ] as const)
      app.post(paths.staffStep(':id', step), options, async (request, reply) => {
        const read = readForm(versionForm, request.body)
        if (!read.ok) throw problem(400, 'form-incomplete', 'The form came without its version; open the page again.')
        await db.transaction(tx => work(tx, act(request), request.params.id, read.data.version))
        return reply.redirect(paths.staffMember(request.params.id), 303)
      })

    app.post(paths.staffStep(':id', 'link'), options, async (request, reply) => {
      const person = await staffById(db, request.params.id)
      if (!person || person.disabledAt !== null) throw notFound('person')
      const { frame } = await pageFacts(request)
      const by = { now: request.now, requestId: request.id, config, jobs, company: frame.company }
      if (mail.held)
        return handOver(
          request,
          reply,
          person.name,
          await db.transaction(tx => setupSecret(tx, request.now, person.id)),
        )
      await db.transaction(tx => mailStaffLink(tx, by, person.hasPassword ? 'password' : 'invitation', person))
      return reply.redirect(paths.staffMember(person.id), 303)
    })

    app.post(paths.staffStep(':id', 'end-session'), options, async (request, reply) => {
      const read = readForm(sessionForm, request.body)
      if (!read.ok || !(await endSession(db, request.params.id, read.data.sessionId, request.now)))
        throw notFound('session')
      return reply.redirect(paths.staffMember(request.params.id), 303)
    })
  }
