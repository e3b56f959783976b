import type { Deps } from '../../platform/deps.ts'
import type { Handlers } from '../../platform/jobs/queue.ts'
import type { Periodic } from '../../platform/jobs/worker.ts'
import { sendDueMails } from '../../platform/mail/send-due-mails.ts'
import type { MailOwner } from '../../platform/mail/send-mail.ts'
import { mailAcceptedResults } from './mail-result.ts'
import { sweepReminders } from './sweep.ts'

const minute = 60_000

/** Writing what has come due, and sending what was written, at up to 60 mails a minute and process. */
export const reminderWork = (deps: Deps, owner: MailOwner): { handlers: Handlers; periodic: readonly Periodic[] } => ({
  handlers: {
    'sweep-reminders': async (_, requestId) => {
      await sweepReminders(deps, requestId)
      await mailAcceptedResults(deps, requestId)
    },
    'send-mails': async () =>
      void (await sendDueMails({ db: deps.db, transport: deps.mail, clock: deps.clock, log: deps.log, owner })),
  },
  periodic: [
    { name: 'sweep-reminders', everyMs: minute },
    { name: 'send-mails', everyMs: minute },
  ],
})
