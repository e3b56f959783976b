import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, page, readForm, type Typed } from '../../platform/http/forms.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { AppView } from './app-view.tsx'
import { AppsView, type AppTyped, NewAppView, SecretView } from './apps-view.tsx'
import { addApp, changeApp, rotateSecret } from './change-app.ts'
import { findHomes, grantsOfApp } from './grant-queries.ts'
import { type App, appById, listApps, liveSecrets } from './queries.ts'
import { appChangeForm, appForm, appParams, appQuery } from './schemas.ts'

/** Apps decide who sees what: only the owner, and only with a password entered just now. */
export const ownerConfirmed = { page: ['owner'] as const, confirmed: true as const }

const typedOf = (typed: Typed): AppTyped => ({
  name: typed.name as string | undefined,
  homes: typed.homes as string | undefined,
  scopes: [typed.scopes ?? []].flat() as string[],
})

/** The owner's pages of apps: list, add, one app. What is pressed there is in steps.tsx. */
export const appsPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.apps(), { config: ownerConfirmed }, async (request, reply) => {
      const { frame, zone } = await pageFacts(request)
      const view = <AppsView apps={await listApps(db, request.now)} zone={zone} />
      return page(
        reply,
        <Frame {...frame} title="Apps" place="office" wide>
          {view}
        </Frame>,
      )
    })

    app.get(paths.newApp(), { config: ownerConfirmed }, async (request, reply) => newAppPage(request, reply, {}))

    app.post(paths.newApp(), { config: ownerConfirmed }, async (request, reply) => {
      const read = readForm(appForm, request.body)
      if (!read.ok) return newAppPage(request, reply, typedOf(read.typed), read.problems)
      const input = { name: read.data.name, scopes: read.data.scopes, allHomes: read.data.homes === 'all' }
      const made = await db.transaction(tx => addApp(tx, act(request), input))
      return secretPage(request, reply, { ...made, name: input.name })
    })

    app.get(
      paths.app(':id'),
      { config: ownerConfirmed, schema: { params: appParams, querystring: appQuery } },
      async (request, reply) => appPage(request, reply, await there(request.params.id), { find: request.query.find }),
    )

    app.post(paths.app(':id'), { config: ownerConfirmed, schema: { params: appParams } }, async (request, reply) => {
      const known = await there(request.params.id)
      const read = readForm(appChangeForm, request.body)
      if (!read.ok) return appPage(request, reply, known, { typed: typedOf(read.typed), problems: read.problems })
      const { version, name, scopes, homes } = read.data
      await db.transaction(tx =>
        changeApp(tx, act(request), known.id, version, { name, scopes, allHomes: homes === 'all' }),
      )
      return reply.redirect(paths.app(known.id), 303)
    })

    app.post(
      paths.appStep(':id', 'secret'),
      { config: ownerConfirmed, schema: { params: appParams } },
      async (request, reply) => {
        const known = await there(request.params.id)
        const secret = await db.transaction(tx => rotateSecret(tx, act(request), known.id))
        return secretPage(request, reply, { appId: known.id, clientId: known.clientId, name: known.name, secret })
      },
    )

    async function there(appId: string): Promise<App> {
      const known = await appById(db, appId)
      if (!known) throw notFound('app')
      return known
    }

    async function appPage(
      request: FastifyRequest,
      reply: FastifyReply,
      known: App,
      shown: { find?: string; typed?: AppTyped; problems?: readonly FieldProblem[] },
    ) {
      const { frame, zone } = await pageFacts(request)
      const find = shown.find ?? ''
      const view = (
        <AppView
          {...{ app: known, zone, csrf: frame.csrf, find, typed: shown.typed, faults: faultsFrom(shown.problems) }}
          secrets={await liveSecrets(db, known.id)}
          grants={await grantsOfApp(db, known.id, request.now)}
          found={find === '' ? [] : await findHomes(db, find)}
        />
      )
      if (shown.problems) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title={known.name} place="office" faulty={Boolean(shown.problems)}>
          {view}
        </Frame>,
      )
    }
  }

async function newAppPage(
  request: FastifyRequest,
  reply: FastifyReply,
  typed: AppTyped,
  problems?: readonly FieldProblem[],
) {
  const { frame } = await pageFacts(request)
  if (problems) reply.code(422)
  const view = <NewAppView csrf={frame.csrf} typed={typed} faults={faultsFrom(problems)} />
  return page(
    reply,
    <Frame {...frame} title="Add an app" place="office" faulty={Boolean(problems)}>
      {view}
    </Frame>,
  )
}

async function secretPage(
  request: FastifyRequest,
  reply: FastifyReply,
  made: { appId: string; name: string; clientId: string; secret: string },
) {
  const { frame } = await pageFacts(request)
  const view = <SecretView {...made} back={paths.app(made.appId)} />
  return page(
    reply,
    <Frame {...frame} title={`The secret of ${made.name}`} place="office">
      {view}
    </Frame>,
  )
}
