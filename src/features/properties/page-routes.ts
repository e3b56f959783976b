import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { aroundPages } from './around-pages.tsx'
import { changeHomePages } from './change-home-pages.tsx'
import { eventPages } from './event-pages.tsx'
import { missingPages } from './missing-pages.tsx'
import { newHomePages } from './new-home-pages.tsx'
import { homePages } from './pages.tsx'
import { revisionPages } from './revision-pages.tsx'
import { roomsPages } from './rooms-pages.tsx'
import type { TakeUpCustomer } from './somebody.ts'

/** Every page about homes. `takeUp` is the customers' own verb: a home's forms ask for people too. */
export const propertiesPages =
  (deps: Deps, takeUp: TakeUpCustomer): FastifyPluginAsyncZod =>
  async app => {
    await app.register(newHomePages(deps, takeUp))
    await app.register(missingPages(deps))
    await app.register(homePages(deps))
    await app.register(changeHomePages(deps))
    await app.register(roomsPages(deps))
    await app.register(aroundPages(deps, takeUp))
    await app.register(eventPages(deps))
    await app.register(revisionPages(deps))
  }
