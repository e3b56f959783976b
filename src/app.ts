import type { FastifyInstance } from 'fastify'
import { appOfToken } from './features/apps/app-of-token.ts'
import { metadataRoutes } from './features/apps/metadata-routes.ts'
import { oauthRoutes } from './features/apps/oauth-routes.ts'
import { appsPages } from './features/apps/pages.tsx'
import { scopes } from './features/apps/scopes.ts'
import { appStepPages } from './features/apps/step-pages.ts'
import { forgetRevocations } from './features/apps/token/revoke-token.ts'
import { callPages } from './features/callbacks/call-pages.tsx'
import { callbacksPages } from './features/callbacks/pages.tsx'
import { questionRoutes } from './features/callbacks/question-routes.ts'
import { callbacksRoutes } from './features/callbacks/routes.ts'
import { forgetOldChanges } from './features/changes/follow-changes.ts'
import { changesPages } from './features/changes/pages.tsx'
import { feedLagSeconds } from './features/changes/queries.ts'
import { changesRoutes } from './features/changes/routes.ts'
import { sealAudit } from './features/changes/seal-audit.ts'
import { closingPages } from './features/closing/pages.tsx'
import { closingRoutes } from './features/closing/routes.ts'
import { releaseReminders } from './features/company/change-company.ts'
import { exportPages } from './features/company/export-pages.tsx'
import { logoPages } from './features/company/logo-pages.ts'
import { companyPages } from './features/company/pages.tsx'
import { companyRoutes } from './features/company/routes.ts'
import { credentialsPages } from './features/credentials/pages.tsx'
import { apartPages } from './features/customers/apart-pages.tsx'
import { createCustomer } from './features/customers/create-customer.ts'
import { doublesPages } from './features/customers/doubles-pages.tsx'
import { customersPages } from './features/customers/pages.tsx'
import { customersRoutes } from './features/customers/routes.ts'
import { markMailRefused, stopMails } from './features/customers/stop-mails.ts'
import { countToChase } from './features/devices/chase-list.ts'
import { devicesPages } from './features/devices/pages.tsx'
import { devicesRoutes } from './features/devices/routes.ts'
import { notesPages } from './features/documents/pages.tsx'
import { notesRoutes } from './features/documents/routes.ts'
import { homeownerPages } from './features/homeowner/pages.tsx'
import { reportsPages } from './features/homeowner/reports-pages.tsx'
import { outreachPages } from './features/month/outreach-pages.tsx'
import { monthPages } from './features/month/pages.tsx'
import { monthRoutes } from './features/month/routes.ts'
import { partiesPages } from './features/parties/pages.tsx'
import { partiesRoutes } from './features/parties/routes.ts'
import { draftPages } from './features/policies/drafts/pages.tsx'
import { takeUpTrials, tryDraftJob } from './features/policies/drafts/try-draft.ts'
import { policiesPages } from './features/policies/pages.tsx'
import { policiesRoutes } from './features/policies/routes.ts'
import { eventRoutes } from './features/properties/event-routes.ts'
import { propertiesPages } from './features/properties/page-routes.ts'
import { partRoutes } from './features/properties/part-routes.ts'
import { peopleRoutes } from './features/properties/people-routes.ts'
import { propertiesRoutes } from './features/properties/routes.ts'
import { standingRoutes } from './features/properties/standing-routes.ts'
import { homeownerMails } from './features/reminders/homeowner-mails.ts'
import { reminderWork } from './features/reminders/jobs.ts'
import { outboxPages } from './features/reminders/pages.tsx'
import { searchPages } from './features/search/pages.tsx'
import { phonePages } from './features/search/phone-pages.tsx'
import { searchRoutes } from './features/search/routes.ts'
import { accountPages } from './features/staff/account-pages.tsx'
import { confirmFirst, confirmPages } from './features/staff/confirm-pages.tsx'
import { endLapsedSessions, findSession } from './features/staff/find-session.ts'
import { forgetAttempts } from './features/staff/guessing.ts'
import { passwordPages } from './features/staff/password-pages.tsx'
import { peoplePages } from './features/staff/people-pages.tsx'
import { personStepPages } from './features/staff/person-step-pages.ts'
import { signInFirst, signInPages } from './features/staff/sign-in-pages.tsx'
import { withStaffMails } from './features/staff/staff-mail-owner.ts'
import { endLapsedTokens } from './features/staff/staff-token.ts'
import { baselinePages } from './features/systems/baseline-pages.tsx'
import { baselineRoutes } from './features/systems/baseline-routes.ts'
import { systemsPages } from './features/systems/pages.tsx'
import { systemPartRoutes } from './features/systems/part-routes.ts'
import { systemsRoutes } from './features/systems/routes.ts'
import { testChangeRoutes } from './features/tests/change-routes.ts'
import { testsPages } from './features/tests/pages.tsx'
import { testsRoutes } from './features/tests/routes.ts'
import { todayPages } from './features/today/pages.tsx'
import { visitsPages } from './features/visits/pages.tsx'
import { planVisit } from './features/visits/plan-visit.ts'
import { visitsRoutes } from './features/visits/routes.ts'
import { acceptWith } from './intake/accept-report.ts'
import { commitHomesJob } from './intake/commit-homes-job.ts'
import { drawHome } from './intake/draw-home.ts'
import { kitAnswerPages } from './intake/kit-answer-pages.tsx'
import { kitAnswerRoutes } from './intake/kit-answer-routes.ts'
import { importPages } from './intake/pages.tsx'
import { importRoutes } from './intake/routes.ts'
import { savedReadingRoutes } from './intake/saved-reading-routes.ts'
import { importStepPages } from './intake/step-pages.tsx'
import { takeUpImports } from './intake/take-up-imports.ts'
import { examplesOfProgram } from './ops/api-examples.ts'
import { takeExport } from './ops/export/take-export.ts'
import { migrationsOfProgram } from './ops/migrate.ts'
import { endLapsedLinks } from './platform/auth/link-queries.ts'
import { tokenKeysFrom } from './platform/auth/token-keys.ts'
import type { Deps } from './platform/deps.ts'
import { forgetOldAnswers } from './platform/http/idempotency.ts'
import { describeApi } from './platform/http/openapi.ts'
import { openServer } from './platform/http/server.ts'
import { forgetCounts } from './platform/http/shared-counts.ts'
import type { Handlers } from './platform/jobs/queue.ts'
import type { Periodic } from './platform/jobs/worker.ts'
import { featureProblems } from './problems.ts'
import { choicePages } from './putting-right/choice-pages.tsx'
import { mergePersonPages } from './putting-right/merge-person-pages.tsx'
import { movePages } from './putting-right/move-pages.tsx'
import { correctionPages } from './putting-right/pages.tsx'
import { readAgainPages } from './putting-right/read-again-pages.tsx'
import { correctionRoutes } from './putting-right/routes.ts'
import { voidPages } from './putting-right/void-pages.tsx'
import { restandDue } from './standing/restand-stale.ts'
import { assetRoutes } from './web/asset-routes.ts'
import { errorDocument } from './web/error-document.tsx'
import { schemeRoutes } from './web/scheme-routes.ts'

/** The whole service on its dependencies: one line a feature. */
export async function buildApp(deps: Deps): Promise<FastifyInstance> {
  const { db, config } = deps
  const issuer = { keys: await tokenKeysFrom(config.tokenSigningKeys), origin: config.publicUrl }
  const app = await openServer(deps, {
    findSession: (secret, now) => findSession(db, secret, now),
    findApp: appOfToken(db, issuer),
    signInFirst,
    confirmFirst,
    renderErrorPage: errorDocument,
    problems: featureProblems,
    migrationLevel: (await migrationsOfProgram()).at(-1)?.name ?? null,
    feedLag: now => feedLagSeconds(db, now),
  })
  describeApi(app, { scopes, examples: await examplesOfProgram() })
  const v1 = { prefix: '/v1' }
  await app.register(customersRoutes(deps), v1)
  await app.register(propertiesRoutes(deps), v1)
  await app.register(partRoutes(deps), v1)
  await app.register(peopleRoutes(deps), v1)
  await app.register(partiesRoutes(deps), v1)
  await app.register(eventRoutes(deps), v1)
  await app.register(standingRoutes(deps), v1)
  await app.register(systemsRoutes(deps), v1)
  await app.register(systemPartRoutes(deps), v1)
  await app.register(baselineRoutes(deps), v1)
  await app.register(testsRoutes(deps), v1)
  await app.register(testChangeRoutes(deps), v1)
  await app.register(devicesRoutes(deps), v1)
  await app.register(visitsRoutes(deps), v1)
  await app.register(monthRoutes(deps), v1)
  await app.register(closingRoutes(deps), v1)
  await app.register(callbacksRoutes(deps), v1)
  await app.register(questionRoutes(deps), v1)
  await app.register(notesRoutes(deps), v1)
  await app.register(policiesRoutes(deps), v1)
  await app.register(searchRoutes(deps), v1)
  await app.register(importRoutes(deps), v1)
  await app.register(savedReadingRoutes(deps), v1)
  await app.register(kitAnswerRoutes(), v1)
  await app.register(correctionRoutes(deps), v1)
  await app.register(companyRoutes(deps), v1)
  await app.register(changesRoutes(deps), v1)
  await app.register(oauthRoutes(deps, issuer))
  await app.register(metadataRoutes(issuer))
  await app.register(customersPages(deps))
  await app.register(doublesPages(deps))
  await app.register(apartPages(deps))
  await app.register(propertiesPages(deps, createCustomer))
  await app.register(partiesPages(deps, createCustomer))
  await app.register(notesPages(deps))
  await app.register(policiesPages(deps))
  await app.register(draftPages(deps))
  await app.register(todayPages(deps, countToChase))
  await app.register(testsPages(deps))
  await app.register(systemsPages(deps))
  await app.register(baselinePages(deps))
  await app.register(devicesPages(deps))
  await app.register(callbacksPages(deps))
  await app.register(callPages(deps))
  await app.register(visitsPages(deps))
  await app.register(monthPages(deps))
  await app.register(outreachPages(deps))
  await app.register(closingPages(deps, planVisit))
  await app.register(searchPages(deps))
  await app.register(phonePages(deps))
  await app.register(signInPages(deps))
  await app.register(passwordPages(deps))
  await app.register(accountPages(deps))
  await app.register(confirmPages(deps))
  await app.register(peoplePages(deps))
  await app.register(personStepPages(deps))
  await app.register(appsPages(deps))
  await app.register(appStepPages(deps))
  await app.register(companyPages(deps))
  await app.register(logoPages(deps))
  await app.register(exportPages(deps, options => takeExport(config.databaseUrl ?? '', options)))
  await app.register(credentialsPages(deps))
  await app.register(changesPages(deps))
  await app.register(importPages(deps))
  await app.register(importStepPages(deps))
  await app.register(kitAnswerPages(deps))
  await app.register(correctionPages(deps))
  await app.register(choicePages(deps))
  await app.register(movePages(deps))
  await app.register(voidPages(deps))
  await app.register(mergePersonPages(deps))
  await app.register(readAgainPages(deps))
  await app.register(outboxPages(deps, releaseReminders))
  await app.register(reportsPages(deps, acceptWith))
  await app.register(homeownerPages(deps, { drawHome, stopMails }))
  await app.register(assetRoutes)
  await app.register(schemeRoutes)
  await app.ready()
  return app
}

const minute = 60_000

/** What this process works at in the background. */
export function workOf(deps: Deps): { handlers: Handlers; periodic: readonly Periodic[] } {
  const { db, clock } = deps
  const mails = withStaffMails(homeownerMails(deps, markMailRefused), deps)
  const reminders = reminderWork(deps, mails)
  return {
    handlers: {
      ...reminders.handlers,
      'restand-due': async () => void (await restandDue(db, clock.now())),
      'commit-homes': commitHomesJob(deps),
      'take-up-imports': () => takeUpImports(deps),
      'try-rules': tryDraftJob(deps),
      'take-up-trials': () => takeUpTrials(deps),
      'seal-audit': async () => void (await sealAudit(db)),
      'forget-old': () =>
        db.transaction(async tx => {
          const now = clock.now()
          await forgetOldAnswers(tx, now)
          await forgetAttempts(tx, now)
          await endLapsedSessions(tx, now)
          await endLapsedTokens(tx, now)
          await endLapsedLinks(tx, now)
          await forgetRevocations(tx, now)
          await forgetOldChanges(tx, now)
          await forgetCounts(tx)
        }),
    },
    periodic: [
      ...reminders.periodic,
      { name: 'restand-due', everyMs: minute },
      { name: 'take-up-imports', everyMs: minute },
      { name: 'take-up-trials', everyMs: minute },
      { name: 'seal-audit', everyMs: minute },
      { name: 'forget-old', everyMs: 60 * minute },
    ],
  }
}
