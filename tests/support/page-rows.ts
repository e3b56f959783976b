import type { Mailed } from './mailed-home.ts'
import type { Home } from './world.ts'

/** What the parameters of pages are filled with beside a home's records. */
export type Place = { readonly home: Home; readonly mailed: Mailed; readonly staff: string; readonly app: string }

/** The addresses of each page that people look at, by its template. A page without a row fails the matrix. */
export const pageRows: Readonly<Record<string, (place: Place) => readonly string[]>> = {
  '/': () => ['/'],
  '/day': () => ['/day'],
  '/phone': () => ['/phone', '/phone?q=Street', '/phone?q=zzzz'],
  '/search': () => ['/search', '/search?q=Alder', '/search?q=zzzz'],
  '/people': () => ['/people'],
  '/people/new': () => ['/people/new'],
  '/people/:id': ({ home }) => [`/people/${home.customer}`],
  '/people/:id/change': ({ home }) => [`/people/${home.customer}/change`],
  '/homes': () => ['/homes'],
  '/homes/new': () => ['/homes/new'],
  '/homes/:id': ({ home }) => [`/homes/${home.property}`],
  '/homes/:id/phone': ({ home }) => [
    `/homes/${home.property}/phone`,
    `/homes/${home.property}/phone?reported=alarm`,
    `/homes/${home.property}/phone?reported=sold`,
  ],
  '/homes/:id/change': ({ home }) => [`/homes/${home.property}/change`],
  '/homes/:id/rooms': ({ home }) => [`/homes/${home.property}/rooms`],
  '/homes/:id/people': ({ home }) => [`/homes/${home.property}/people`],
  '/homes/:id/events': ({ home }) => [`/homes/${home.property}/events`],
  '/homes/:id/changes': ({ home }) => [`/homes/${home.property}/changes`],
  '/homes/:id/notes': ({ home }) => [`/homes/${home.property}/notes`],
  '/homes/:id/tests/new': ({ home }) => [
    `/homes/${home.property}/tests/new`,
    `/homes/${home.property}/tests/new?doing=set`,
  ],
  '/homes/:id/systems/new': ({ home }) => [`/homes/${home.property}/systems/new`],
  '/homes/:id/callbacks/new': ({ home }) => [`/homes/${home.property}/callbacks/new`],
  '/homes/:id/visits/new': ({ home }) => [`/homes/${home.property}/visits/new`],
  '/tests/:id': ({ home }) => [`/tests/${home.test}`],
  '/tests/:id/:step': ({ home }) =>
    ['pick-up', 'laboratory', 'results', 'void'].map(step => `/tests/${home.test}/${step}`),
  '/systems/:id': ({ home }) => [`/systems/${home.system}`],
  '/systems/:id/gauge': ({ home }) => [`/systems/${home.system}/gauge`],
  '/systems/:id/event': ({ home }) => [`/systems/${home.system}/event`],
  '/systems/:id/component': ({ home }) => [`/systems/${home.system}/component`],
  '/systems/:id/void': ({ home }) => [`/systems/${home.system}/void`],
  '/devices': () => ['/devices'],
  '/devices/new': () => ['/devices/new'],
  '/devices/:id': ({ home }) => [`/devices/${home.device}`],
  '/callbacks/:id': ({ home }) => [`/callbacks/${home.callback}`],
  '/visits/:id/change': ({ home }) => [`/visits/${home.visit}/change`],
  '/visits/:id': ({ home }) => [`/visits/${home.visit}`],
  '/imports': () => ['/imports'],
  '/imports/new': () => ['/imports/new'],
  '/imports/:id': ({ home }) => [`/imports/${home.import}`],
  '/rules': () => ['/rules'],
  '/rules/:code': () => ['/rules/US'],
  '/account': () => ['/account'],
  '/confirm': () => ['/confirm'],
  '/staff': () => ['/staff'],
  '/staff/new': () => ['/staff/new'],
  '/staff/:id': ({ staff }) => [`/staff/${staff}`],
  '/apps': () => ['/apps'],
  '/apps/new': () => ['/apps/new'],
  '/apps/:id': ({ app }) => [`/apps/${app}`],
  '/company': () => ['/company'],
  '/credentials': () => ['/credentials'],
  '/outbox': () => ['/outbox'],
  '/outbox/today': () => ['/outbox/today'],
  '/outbox/:id': ({ mailed }) => [`/outbox/${mailed.mail}`],
  '/outbox/:id/html': ({ mailed }) => [`/outbox/${mailed.mail}/html`],
  '/reports': () => ['/reports', '/reports?state=accepted', '/reports?state=dismissed'],
  '/reports/:id': ({ mailed }) => [`/reports/${mailed.report}`],
  '/homes/:id/link': ({ home }) => [`/homes/${home.property}/link`],
  '/changes': () => ['/changes'],
  '/sign-in': () => ['/sign-in', '/sign-in?next=%2Fhomes'],
  '/forgotten': () => ['/forgotten'],
  '/set-password/:secret': () => ['/set-password/not-a-secret'],
  '/problems': () => ['/problems'],
  '/problems/:code': () => ['/problems/not-found'],
  // The first leads to the page of the home, which opens with the cookie it sets.
  '/h/:token': ({ mailed }) => [`/h/${mailed.token}`, '/h/no-such-link'],
  '/h/home/:id': ({ mailed }) => [`/h/${mailed.token}`],
  '/h/:token/stop': ({ mailed }) => [`/h/${mailed.token}/stop`],
}

/** Routes that answer with a file or for programs, not with a page. */
export const notPages: readonly RegExp[] = [
  /^\/assets\//,
  /^\/files\//,
  /^\/\.well-known\//,
  /^\/(healthz|readyz|metrics|openapi\.json)$/,
  /^\/oauth\//,
  /^\/company\/logo$/,
  /^\/imports\/:id\/bad-rows$/,
]

export const isPage = (url: string): boolean => !url.startsWith('/v1/') && !notPages.some(pattern => pattern.test(url))
