import { z } from 'zod'
import { filledText, id, localDay } from '../../platform/http/scalars.ts'
import { allScopes } from './scopes.ts'

// A box that is ticked alone arrives as a text, several as a list.
const ticked = <T extends z.ZodType>(item: T) =>
  z.preprocess(value => (value === undefined ? [] : Array.isArray(value) ? value : [value]), z.array(item))
const version = z.coerce.number().int().positive()

export const appForm = z.strictObject({
  name: filledText(120),
  scopes: ticked(z.enum(allScopes)).refine(list => list.length > 0, 'Tick at least one thing it may do'),
  homes: z.enum(['all', 'listed'], { error: 'Choose which homes it sees' }),
})
export const appChangeForm = appForm.extend({ version })
export const appVersionForm = z.strictObject({ version })
export const secretForm = z.strictObject({ secretId: id })
export const grantForm = z.strictObject({ propertyId: id, until: localDay.optional() })
export const grantEndForm = z.strictObject({ grantId: id })
export const appQuery = z.object({ find: z.string().trim().max(200).default('') })
export const appParams = z.object({ id })

const clientInBody = {
  client_id: z.string().optional().meta({ description: 'Of a client that does not authenticate by HTTP Basic' }),
  client_secret: z.string().optional().meta({ description: 'Goes with client_id' }),
}
export const tokenIn = z
  .object({
    grant_type: z.literal('client_credentials'),
    scope: z
      .string()
      .optional()
      .meta({ description: 'Scopes parted by single spaces; all that the client has when left out' }),
    ...clientInBody,
  })
  .meta({ id: 'TokenRequest', description: 'RFC 6749, section 4.4.2' })
export const revocationIn = z
  .object({
    token: z.string(),
    token_type_hint: z.string().optional().meta({ description: 'Not needed: only access tokens exist' }),
    ...clientInBody,
  })
  .meta({ id: 'RevocationRequest', description: 'RFC 7009, section 2.1' })

const oauthErrorCode = z.enum([
  'invalid_request',
  'invalid_client',
  'unauthorized_client',
  'unsupported_grant_type',
  'invalid_scope',
])
export const oauthErrorOut = z
  .object({ error: oauthErrorCode, error_description: z.string() })
  .meta({ id: 'OAuthError', description: 'RFC 6749, section 5.2' })
export const tokenOut = z
  .object({
    access_token: z.string(),
    token_type: z.literal('Bearer'),
    expires_in: z.number().int().meta({ description: 'Seconds' }),
    scope: z.string(),
  })
  .meta({ id: 'AccessToken', description: 'RFC 6749, section 5.1' })
