import type { Children } from '@kitajs/html'
import { paths } from './paths.ts'

export type Trouble = { readonly happened: string; readonly saved: string; readonly next: string }

const nothing = 'Nothing was saved.'
const troubles: Record<number, Trouble> = {
  403: {
    happened: 'This is not yours to open or to do.',
    saved: nothing,
    next: 'Ask the owner of the company for the role it needs.',
  },
  404: {
    happened: 'There is nothing here, or it is not yours to see.',
    saved: nothing,
    next: 'Check the address, or find the home in the search box.',
  },
  409: {
    happened: 'This does not fit with what is already on record.',
    saved: nothing,
    next: 'Go back, look at the record as it stands, and say it again.',
  },
  412: {
    happened: 'Somebody changed this while you had it open.',
    saved: 'Your change was not saved; both versions are below.',
    next: 'Look at the newer version, then repeat your change if it is still right.',
  },
  413: {
    happened: 'What was sent is larger than this service takes.',
    saved: nothing,
    next: 'Send a smaller file, or split it.',
  },
  422: {
    happened: 'Something in what was sent cannot be read or accepted.',
    saved: nothing,
    next: 'Go back: the form says what to change.',
  },
  429: { happened: 'That was too often in too short a time.', saved: nothing, next: 'Wait a minute and try again.' },
  500: {
    happened: 'Something went wrong here, not with you.',
    saved: 'What you sent last was probably not saved: look before you send it again.',
    next: 'Try again. If it stays, give the number below to whoever runs this service.',
  },
  503: {
    happened: 'The service cannot reach its records just now.',
    saved: 'What you sent last was not saved.',
    next: 'Keep this page open and load it again in a minute.',
  },
}

export type ErrorPageProps = {
  status: number
  requestId: string
  /** Says more exactly what happened, when that is known. */
  detail?: string | null
  /** For 409 and 412: the record as sent and as it stands now, field by field, already HTML. */
  versions?: { readonly yours: Children; readonly theirs: Children } | null
  /** Where one was, to go back to. */
  back?: string | null
}

export const troubleTitle = (status: number): string => titles[status] ?? 'Something went wrong'
const titles: Record<number, string> = {
  403: 'Not allowed',
  404: 'Not found',
  409: 'Does not fit the record',
  412: 'Changed by somebody else',
  413: 'Too large',
  422: 'Needs another look',
  429: 'Too many requests',
  500: 'Something went wrong',
  503: 'Not reachable just now',
}

/** What the page of an error says: what happened, what was not saved, what to do, and the request's id. */
export function ErrorPage({ status, requestId, detail, versions, back }: ErrorPageProps): JSX.Element {
  const trouble = troubles[status] ?? troubles[status >= 500 ? 500 : 422]!
  return (
    <article class="trouble">
      <h1 safe>{troubleTitle(status)}</h1>
      <dl class="pair">
        <div>
          <dt>What happened</dt>
          <dd safe>{detail ?? trouble.happened}</dd>
        </div>
        <div>
          <dt>What was kept</dt>
          <dd safe>{trouble.saved}</dd>
        </div>
        <div>
          <dt>What to do</dt>
          <dd safe>{trouble.next}</dd>
        </div>
      </dl>
      {versions ? <Versions {...versions} /> : ''}
      <p>
        <a href={back ?? paths.ledger()}>{back ? 'Back to where you were' : 'To the first page'}</a>
      </p>
      <p class="request-id">
        Error {status}, request <code safe>{requestId}</code>
      </p>
    </article>
  )
}

const Versions = ({ yours, theirs }: { yours: Children; theirs: Children }): JSX.Element => (
  <div class="versions">
    <section>
      <h2>What you sent</h2>
      {yours}
    </section>
    <section>
      <h2>As it stands now</h2>
      {theirs}
    </section>
  </div>
)
