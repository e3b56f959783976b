import { z } from 'zod'
import { filledText, id, text } from '../../platform/http/scalars.ts'

export const credentialKinds = ['licence', 'certificate'] as const
export const credentialKind = z.enum(credentialKinds)

/** The expiry is read as people type days; `holder` is empty for the company's own. */
export const credentialForm = z.strictObject({
  holder: id.nullable().default(null),
  kind: credentialKind,
  issuer: text(120).default(''),
  number: filledText(80),
  expires: z.string().max(60).default(''),
})
export const changedForm = credentialForm.omit({ holder: true }).extend({ version: z.coerce.number().int().positive() })
export const voidForm = z.strictObject({
  version: z.coerce.number().int().positive(),
  reason: filledText(500),
})
export const credentialParams = z.strictObject({ id })
export const shownQuery = z.strictObject({ change: id.optional() })
