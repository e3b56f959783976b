import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { addDays } from '../../domain/calendar/day-sums.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page } from '../../platform/http/forms.ts'
import { pageCursor, readPageCursor, textAndId } from '../../platform/http/page-cursor.ts'
import { act } from '../../platform/http/request-facts.ts'
import { levelInForce } from '../../standing/level-in-force.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { readStanding } from '../../standing/read-standing.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { readHistory } from './home-history.ts'
import { HomeList, type Show, shows } from './home-list.tsx'
import { recordsToDraw } from './home-records.tsx'
import { HomeView, streetOf } from './home-view.tsx'
import { listHomes } from './list-queries.ts'
import { homeParams, homesQuery } from './page-schemas.ts'
import { readPeople } from './people-queries.ts'
import { readProperty } from './queries.ts'
import { readRecords } from './record-queries.ts'

const perPage = 50
const config = { page: ['owner', 'office', 'crew'] as const }

/** The list of homes and the page of one. */
export const homePages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.homes(), { config, schema: { querystring: homesQuery } }, async (request, reply) => {
      const { show, after } = request.query
      const who = act(request)
      const { frame, zone } = await pageFacts(request)
      const filter = filterOf(show, localDayOf(request.now, zone))
      const rows = await listHomes(db, who, { ...filter, after: readPageCursor(textAndId, after), limit: perPage })
      const homes = rows.slice(0, perPage)
      const last = rows.length > perPage ? homes.at(-1) : undefined
      const next = last ? paths.homes({ show, after: pageCursor([last.dueKey, last.id]) }) : null
      const mayEnter = hasRole(who.actor, 'owner', 'office')
      return page(
        reply,
        <Frame {...frame} title={shows[show]} place="homes" wide>
          <HomeList homes={homes} show={show} next={next} now={request.now} mayEnter={mayEnter} />
        </Frame>,
      )
    })

    app.get(paths.home(':id'), { config, schema: { params: homeParams } }, async (request, reply) => {
      const who = act(request)
      const home = await readProperty(db, who, request.params.id)
      const { frame, contacts } = await pageFacts(request)
      const standing = await readStanding(db, home.id)
      const history = await readHistory(db, home.id)
      const everybody = await readPeople(db, home.id)
      const people = contacts ? everybody : everybody.map(person => ({ ...person, email: null, phone: null }))
      const records = await readRecords(db, recordsToDraw(standing?.standing.tests ?? []))
      const decided = standing?.standing.verdict.level ?? null
      const level = decided || records.size === 0 ? decided : await levelInForce(db, home.id, request.now)
      return page(
        reply,
        <Frame {...frame} title="Home" home={streetOf(home)} place="homes" wide>
          <HomeView
            {...{ home, standing, people, records, level, csrf: frame.csrf, noteKey: formKey() }}
            history={contacts ? history : { ...history, mails: [] }}
            today={localDayOf(request.now, home.zone)}
            mayChange={hasRole(who.actor, 'owner', 'office')}
          />
        </Frame>,
      )
    })
  }

const filterOf = (show: Show, today: string) => {
  if (show === 'all') return {}
  return show === 'due' ? { dueBefore: addDays(today, 31) } : { outcome: show }
}
