import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, formKey, page, readForm, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { readTypedDate } from '../../web/read-typed-date.ts'
import { dateReadingFor, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { CredentialsView } from './credentials-view.tsx'
import { type CredentialColumns, listCredentials, possibleHolders } from './queries.ts'
import { correctCredential, recordCredential, voidCredential } from './record-credential.ts'
import { changedForm, credentialForm, credentialParams, shownQuery, voidForm } from './schemas.ts'

const office = { page: ['owner', 'office'] as const }

/** Licences and certificates of the company and its people. */
export const credentialsPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.credentials(), { config: office, schema: { querystring: shownQuery } }, (request, reply) =>
      credentialsPage(request, reply, request.query.change ?? null),
    )

    app.post(paths.credentials(), { config: office }, async (request, reply) => {
      const read = readForm(credentialForm, request.body)
      if (!read.ok) return back(request, reply, null, read.problems)
      const said = await saidIn(request, read.data)
      if ('fault' in said) return back(request, reply, null, [said.fault])
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx => {
          await recordCredential(tx, act(request), read.data.holder, said.columns)
          return paths.credentials()
        }),
      )
      return made.ok ? reply : back(request, reply, null, made.problems)
    })

    const params = { config: office, schema: { params: credentialParams } }
    app.post(paths.credentialStep(':id', 'change'), params, async (request, reply) => {
      const { id } = request.params
      const read = readForm(changedForm, request.body)
      if (!read.ok) return back(request, reply, id, read.problems)
      const said = await saidIn(request, read.data)
      if ('fault' in said) return back(request, reply, id, [said.fault])
      await db.transaction(tx => correctCredential(tx, act(request), id, read.data.version, said.columns))
      return reply.redirect(paths.credentials(), 303)
    })

    app.post(paths.credentialStep(':id', 'void'), params, async (request, reply) => {
      const { id } = request.params
      const read = readForm(voidForm, request.body)
      if (!read.ok) return back(request, reply, id, read.problems)
      const { version, reason } = read.data
      await db.transaction(tx => voidCredential(tx, act(request), id, version, reason))
      return reply.redirect(paths.credentials(), 303)
    })

    const back = (
      request: FastifyRequest,
      reply: FastifyReply,
      change: string | null,
      problems: readonly FieldProblem[],
    ) => credentialsPage(request, reply.code(422), change, problems)

    async function credentialsPage(
      request: FastifyRequest,
      reply: FastifyReply,
      change: string | null,
      problems: readonly FieldProblem[] = [],
    ) {
      const [{ frame, zone }, credentials, holders] = await Promise.all([
        pageFacts(request),
        listCredentials(db),
        possibleHolders(db),
      ])
      const changing = credentials.find(({ id }) => id === change) ?? null
      if (change !== null && !changing) throw notFound('credential')
      const typed = problems.length > 0 ? (request.body as TypedFields) : {}
      return page(
        reply,
        <Frame {...frame} title="Licences and certificates" place="office" faulty={problems.length > 0} wide>
          <CredentialsView
            {...{ credentials, holders, changing, typed, csrf: frame.csrf }}
            faults={faultsFrom(problems)}
            formKey={textIn(typed, '_key') || formKey()}
            today={localDayOf(request.now, zone)}
          />
        </Frame>,
      )
    }
  }

type Said = Omit<z.output<typeof credentialForm>, 'holder'>
async function saidIn(
  request: FastifyRequest,
  { kind, issuer, number, expires }: Said,
): Promise<{ readonly columns: CredentialColumns } | { readonly fault: FieldProblem }> {
  if (expires.trim() === '') return { columns: { kind, issuer, number, expiresOn: null } }
  const read = readTypedDate(expires, dateReadingFor(await pageFacts(request), request.now))
  if (!read.ok) return { fault: { field: 'expires', message: read.fault } }
  return { columns: { kind, issuer, number, expiresOn: read.day } }
}
