import createClient from 'openapi-fetch'
import type { paths } from 'underslab-api'

const asForm = { headers: { 'Content-Type': 'application/x-www-form-urlencoded' } }

/**
 * Fetches an access token and withdraws it, by a client whose every path and form field is typed from the committed API
 * document.
 * @param baseUrl origin of the service.
 */
export async function tokenTrip(baseUrl: string, clientId: string, secret: string) {
  const client = createClient<paths>({ baseUrl })
  const itself = { client_id: clientId, client_secret: secret }
  const issued = await client.POST('/oauth/token', {
    ...asForm,
    body: { grant_type: 'client_credentials', scope: 'properties:read', ...itself },
  })
  const refused = await client.POST('/oauth/token', {
    ...asForm,
    body: { grant_type: 'client_credentials', scope: 'homes:burn', ...itself },
  })
  const token = issued.data?.access_token ?? ''
  const read = () => client.GET('/v1/properties', { headers: { authorization: `Bearer ${token}` } })
  const opened = await read()
  const withdrawn = await client.POST('/oauth/revoke', { ...asForm, body: { token, ...itself } })
  return {
    issued: issued.data,
    refused: refused.error && 'error' in refused.error ? refused.error.error : undefined,
    opened: opened.response.status,
    withdrawn: withdrawn.response.status,
    /** What the token opens after that, by status. */
    readAgain: async () => (await read()).response.status,
  }
}
