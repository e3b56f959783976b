import { CommitUnanswered, isUnavailable } from '../db/unavailable.ts'
import { Problem } from './problem.ts'

type Known = { readonly code?: string; readonly statusCode?: number; readonly message?: string }

/** What any error thrown below a request is answered with. Null for a fault of ours, whose words stay inside. */
export function problemOf(error: unknown): Problem | null {
  if (error instanceof Problem) return error
  if (isUnavailable(error))
    return new Problem(503, 'unavailable', error instanceof CommitUnanswered ? unknownIfSaved : nothingSaved, {
      headers: { 'retry-after': '2' },
    })
  const { code = '', statusCode } = error as Known
  const said = frameworkProblems[code] ?? databaseProblems[code]
  if (said) return new Problem(...said)
  if (statusCode === 413) return new Problem(...tooLarge)
  return statusCode && statusCode < 500
    ? new Problem(statusCode, 'malformed-request', 'The request can not be read.')
    : null
}

const nothingSaved = 'The database can not be reached just now; nothing was saved.'
const unknownIfSaved =
  'The database was lost at the last moment: what you sent may be saved or not. Sent again from the same form or with the same Idempotency-Key, it is saved once.'

type Said = [status: number, code: string, detail: string]
const badJson: Said = [400, 'malformed-body', 'The body is no well-formed JSON.']
const tooLarge: Said = [413, 'body-too-large', 'The body is larger than this operation takes.']
const badLength: Said = [400, 'malformed-request', 'The body is not as long as Content-Length says.']

const frameworkProblems: Readonly<Record<string, Said>> = {
  FST_ERR_CTP_BODY_TOO_LARGE: tooLarge,
  FST_REQ_FILE_TOO_LARGE: tooLarge,
  FST_FILES_LIMIT: [413, 'body-too-large', 'More files than this operation takes.'],
  FST_PARTS_LIMIT: [413, 'body-too-large', 'More parts than this operation takes.'],
  FST_FIELDS_LIMIT: [413, 'body-too-large', 'More fields than this operation takes.'],
  FST_ERR_CTP_INVALID_MEDIA_TYPE: [415, 'unsupported-media-type', 'This Content-Type is not taken here.'],
  FST_INVALID_MULTIPART_CONTENT_TYPE: [415, 'unsupported-media-type', 'Send multipart/form-data.'],
  FST_ERR_CTP_EMPTY_JSON_BODY: [400, 'malformed-body', 'The body is empty.'],
  FST_ERR_CTP_INVALID_JSON_BODY: badJson,
  FST_ERR_CTP_INVALID_CONTENT_LENGTH: badLength,
  FST_ERR_BAD_URL: [400, 'malformed-request', 'The address can not be decoded.'],
  FST_ERR_MAX_PARAM_LENGTH: [404, 'not-found', 'There is nothing at this address.'],
  FST_ERR_HANDLER_TIMEOUT: [503, 'unavailable', 'This took too long and was given up.'],
}

/** Text that PostgreSQL can not hold and that slipped past the schemas; and what may be tried again. */
const databaseProblems: Readonly<Record<string, Said>> = {
  '22021': [400, 'malformed-request', 'A text holds a character that can not be stored.'],
  '22P05': [400, 'malformed-request', 'A text holds a character that can not be stored.'],
  '40001': [503, 'unavailable', 'Somebody else was writing the same; nothing was saved. Try again.'],
  '40P01': [503, 'unavailable', 'Somebody else was writing the same; nothing was saved. Try again.'],
  '57014': [503, 'unavailable', 'The database took too long; nothing was saved.'],
  '53100': [507, 'unavailable', 'The disk of the server is full; nothing was saved.'],
}
