import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Database } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { type Ledger, LedgerView } from './ledger-view.tsx'
import {
  callbacksOpen,
  credentialsExpiring,
  mailsRefused,
  owedUntil,
  reportsToTakeUp,
  resultsToReview,
  someBeingRecomputed,
  visitsUnassigned,
} from './queries.ts'

const horizon = 60 * 86_400_000
const perSection = 100

/** How many devices there are to run after, as far as this person may know. */
type CountToChase = (db: Database, who: Act) => Promise<number>

/** The first page: what is owed, by day. */
export const todayPages =
  ({ db }: Deps, countToChase: CountToChase): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.ledger(), { config: { page: ['owner', 'office', 'crew'] } }, async (request, reply) => {
      const { frame, zone } = await pageFacts(request)
      const ledger = await ledgerOf(db, act(request), countToChase)
      return page(
        reply,
        <Frame {...frame} title="Ledger" place="ledger" wide>
          <LedgerView ledger={ledger} now={request.now} zone={zone} />
        </Frame>,
      )
    })
  }

async function ledgerOf(db: Database, who: Act, countToChase: CountToChase): Promise<Ledger> {
  const office = hasRole(who.actor, 'owner', 'office')
  const [owed, callbacks, toReview, reports, unassigned, failedMails, credentials, recomputing, toChase] =
    await Promise.all([
      owedUntil(db, who, who.now + horizon, perSection),
      callbacksOpen(db, who, perSection),
      office ? resultsToReview(db, who, perSection) : [],
      office ? reportsToTakeUp(db, who, perSection) : [],
      office ? visitsUnassigned(db, who, perSection) : [],
      office ? mailsRefused(db, perSection) : [],
      office ? credentialsExpiring(db, who.now) : [],
      someBeingRecomputed(db),
      office ? countToChase(db, who) : 0,
    ])
  return { owed, callbacks, toReview, reports, unassigned, failedMails, credentials, recomputing, toChase }
}
