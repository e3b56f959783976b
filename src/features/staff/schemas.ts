import { z } from 'zod'
import { filledText, id, text } from '../../platform/http/scalars.ts'

export const role = z.enum(['owner', 'office', 'crew'])

export const mailAddress = z
  .string()
  .trim()
  .toLowerCase()
  .max(254)
  .regex(/^[^\s@<>"(),;:\\]+@[^\s@<>"(),;:\\]+\.[^\s@.]{2,}$/, 'is no mail address: write it like name@example.org')

// A checkbox that is alone arrives as a string, several as an array.
const ticked = <T extends z.ZodType>(item: T) =>
  z.preprocess(value => (value === undefined ? [] : Array.isArray(value) ? value : [value]), z.array(item))

const roles = ticked(role).refine(list => list.length > 0, 'Tick at least one role')

/** What a sign-in form sends; `next` says where one was. A password is never trimmed. */
export const signInForm = z.strictObject({
  email: z.string({ error: 'Write your mail address' }).trim().toLowerCase().max(254),
  password: z.string({ error: 'Write your password' }).max(2000),
  next: z.string().max(4000).default(''),
  kept: z.string().max(200_000).default(''),
})

export const forgottenForm = z.strictObject({ email: mailAddress })

const twice = { password: z.string().max(2000), again: z.string().max(2000) }
const sameTwice = (form: { password: string; again: string }) => form.password === form.again
const notTheSame = { path: ['again'], error: 'is not the same as the first: type the new password again' }

// Browsers keep a password under the address that stands beside it.
const username = z.string().max(300).optional()

export const setPasswordForm = z.strictObject({ ...twice, username }).refine(sameTwice, notTheSame)
export const changePasswordForm = z
  .strictObject({ ...twice, username, present: z.string({ error: 'Write your present password' }).max(2000) })
  .refine(sameTwice, notTheSame)
export const confirmForm = z.strictObject({
  password: z.string({ error: 'Write your password' }).max(2000),
  next: z.string().max(4000).default(''),
  kept: z.string().max(200_000).default(''),
})

const person = {
  name: filledText(120),
  phone: text(40).default(''),
  roles,
}
export const invitationForm = z.strictObject({ ...person, email: mailAddress })
export const personForm = z.strictObject({ ...person, version: z.coerce.number().int().positive() })

export const nextQuery = z.object({ next: z.string().max(4000).optional() })
export const secretParams = z.object({ secret: z.string().max(100) })
export const staffParams = z.object({ id })
export const sessionForm = z.strictObject({ sessionId: id })
export const versionForm = z.strictObject({ version: z.coerce.number().int().positive() })
