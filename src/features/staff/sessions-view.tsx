import type { Children } from '@kitajs/html'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import type { Session } from './session-queries.ts'

type Props = {
  sessions: readonly Session[]
  zone: string
  csrf: string
  /** The session this page is looked at with. */
  own: string | null
  endPath: string
}

/** Where a person is signed in, with a button to end each. */
export const SessionsView = ({ sessions, zone, csrf, own, endPath }: Props): JSX.Element => (
  <Table
    caption={
      sessions.length === 1 ? 'Signed in at one place' : `Signed in at ${sessions.length} places, last used first`
    }
    columns={[{ words: 'With' }, { words: 'From' }, { words: 'Last used' }, { words: 'Since' }, { words: 'End it' }]}
    rows={sessions.map(
      session =>
        [
          <Text of={browserWords(session.userAgent)} />,
          <Text of={session.address} />,
          <InstantText at={session.seenAt} zone={zone} />,
          <InstantText at={session.createdAt} zone={zone} />,
          session.id === own ? (
            <strong>here</strong>
          ) : (
            <EndButton csrf={csrf} endPath={endPath} sessionId={session.id} />
          ),
        ] satisfies Children[],
    )}
  />
)

const EndButton = (props: { csrf: string; endPath: string; sessionId: string }): JSX.Element => (
  <form action={props.endPath} method="post" class="inline">
    <input type="hidden" name="_csrf" value={props.csrf} />
    <input type="hidden" name="sessionId" value={props.sessionId} />
    <button type="submit" class="quiet">
      Sign out there
    </button>
  </form>
)

const browsers = [/(Edg)\//, /(OPR)\//, /(Firefox)\//, /(Chrome)\//, /(Safari)\//]
const browserNames: Readonly<Record<string, string>> = { Edg: 'Edge', OPR: 'Opera' }
const systems = [/(iPhone|iPad)/, /(Android)/, /(Windows)/, /(Mac) OS X/, /(Linux)/]

/** `Firefox on Android`, from what the browser says of itself. */
export function browserWords(userAgent: string): string {
  const browser = firstMatch(browsers, userAgent)
  const system = firstMatch(systems, userAgent)
  if (!browser && !system) return userAgent === '' ? 'unknown browser' : userAgent.slice(0, 40)
  return [browserNames[browser ?? ''] ?? browser ?? 'browser', system && `on ${system}`].filter(Boolean).join(' ')
}

const firstMatch = (patterns: readonly RegExp[], text: string) =>
  patterns.map(pattern => pattern.exec(text)?.[1]).find(match => match !== undefined)
