/** Names of the jobs and what each is told. Handlers stand in the features; `app.ts` brings the two together. */
import { z } from 'zod'

const nothing = z.object({})

export const jobs = {
  'send-mails': nothing,
  'sweep-reminders': nothing,
  'restand-due': nothing,
  'seal-audit': nothing,
  'forget-old': nothing,
  'commit-homes': z.object({ importId: z.uuid(), actor: z.looseObject({ kind: z.string(), id: z.uuid().nullable() }) }),
  'take-up-imports': nothing,
  'try-rules': z.object({ trialId: z.uuid() }),
  'take-up-trials': nothing,
} as const
