/** What features refuse in words of their own; handed over by app.ts. */
export type FeatureProblems = Readonly<Record<string, { readonly status: number; readonly remedy: string }>>

/** The kinds of problem that requests meet everywhere: title and what to do. Served at `/problems`. */
export const problemKinds: Readonly<Record<string, { readonly title: string; readonly remedy: string }>> = {
  'not-found': { title: 'Not there', remedy: 'It does not exist, or it is not yours to see. Check the identifier.' },
  'method-not-allowed': { title: 'Method not allowed', remedy: 'Use a method that the Allow header names.' },
  'not-acceptable': { title: 'Not acceptable', remedy: 'Ask for a media type that the operation documents.' },
  'body-too-large': { title: 'Body too large', remedy: 'Send less at once; the limit is in the detail.' },
  'unsupported-media-type': { title: 'Unsupported media type', remedy: 'Send the documented Content-Type.' },
  'malformed-body': { title: 'Body can not be read', remedy: 'Send well-formed JSON in UTF-8.' },
  'malformed-request': { title: 'Request can not be read', remedy: 'Correct what the errors point at.' },
  'malformed-header': { title: 'Header can not be read', remedy: 'Correct the header named in the detail.' },
  'unknown-parameter': {
    title: 'Query not understood',
    remedy: 'Use only the documented query parameters, each once.',
  },
  'bad-cursor': { title: 'Cursor not usable', remedy: 'Start the list again without a cursor.' },
  invalid: { title: 'Does not fit', remedy: 'Correct what the errors point at; all of them are listed.' },
  impossible: { title: 'The facts contradict each other', remedy: 'Correct one of the facts that the errors name.' },
  stale: { title: 'Changed since you read it', remedy: 'Read it again and repeat your change with the new ETag.' },
  'if-match-needed': { title: 'If-Match is required', remedy: 'Send the ETag of the version you read as If-Match.' },
  'bad-if-match': { title: 'If-Match can not be read', remedy: 'Send the ETag you read, in its quotes, like "3".' },
  'idempotency-key-needed': {
    title: 'Idempotency-Key is required',
    remedy: 'Send a new key, such as a UUID, with each new act; the same one when you repeat it.',
  },
  'bad-idempotency-key': { title: 'Idempotency-Key can not be read', remedy: 'Use up to 200 printable characters.' },
  'key-reused': { title: 'Idempotency-Key used before', remedy: 'Use a new key for another request.' },
  'in-progress': {
    title: 'Still being worked on',
    remedy: 'Repeat the same request after the seconds in Retry-After.',
  },
  'too-many-requests': { title: 'Too many requests', remedy: 'Wait for the seconds in Retry-After.' },
  unauthenticated: { title: 'Not signed in', remedy: 'Sign in first.' },
  'token-needed': { title: 'No access token', remedy: 'Send Authorization: Bearer with a token of POST /oauth/token.' },
  'invalid-token': { title: 'Access token not good', remedy: 'It is expired, withdrawn or not ours: fetch a new one.' },
  'insufficient-scope': { title: 'Scope missing', remedy: 'Ask the owner of the company for the scope named.' },
  'not-your-role': { title: 'Not allowed', remedy: 'Ask somebody whose role allows it.' },
  'form-expired': { title: 'Form not accepted', remedy: 'Open the page again and send the form from there.' },
  'form-incomplete': { title: 'Form not complete', remedy: 'Open the page again and send the form from there.' },
  'unknown-reference': { title: 'Names what is not there', remedy: 'Use the identifier of a record that is listed.' },
  'insecure-transport': { title: 'Not over plain http', remedy: 'Use https and take the token used here for leaked.' },
  'request-timeout': { title: 'Request too slow', remedy: 'Send the whole request in the time the detail names.' },
  unavailable: { title: 'Out of service for the moment', remedy: 'Try again after the seconds in Retry-After.' },
  gone: { title: 'No longer there', remedy: 'The detail says what replaces it.' },
  internal: { title: 'A fault of ours', remedy: 'Tell the operator the request id; nothing was saved.' },
}

const byStatus: Readonly<Record<number, string>> = {
  400: 'Request can not be read',
  401: 'Not signed in',
  403: 'Not allowed',
  404: 'Not there',
  409: 'Conflict with how things stand',
  410: 'No longer there',
  412: 'Changed since you read it',
  422: 'Does not fit',
  503: 'Out of service for the moment',
}

export const titleOf = (code: string, status: number): string =>
  problemKinds[code]?.title ?? byStatus[status] ?? 'Refused'
