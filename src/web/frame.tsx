import type { PropsWithChildren } from '@kitajs/html'
import { attributeText } from './attribute-text.ts'
import { Caution } from './caution.tsx'
import { Document } from './document.tsx'
import { type Message, Messages } from './messages.tsx'
import { paths } from './paths.ts'
import type { Scheme } from './scheme.ts'
import { SchemeChoice } from './scheme-choice.tsx'

/** The noun of the navigation a page belongs to. */
export type Place =
  | 'ledger'
  | 'phone'
  | 'homes'
  | 'day'
  | 'month'
  | 'people'
  | 'devices'
  | 'rules'
  | 'outbox'
  | 'office'

export type FrameProps = PropsWithChildren<{
  /** What this page is: the first part of the title. The h1 is the page's own. */
  title: string
  /** The home it is about, as in `12 Kestrel Lane`; stands in the title. */
  home?: string | null
  company: string
  /** null on sign-in and error pages: no navigation, no search. */
  signedIn: { readonly name: string; readonly roles: readonly string[] } | null
  place?: Place | null
  /** Token for the sign-out form. */
  csrf?: string
  /** What the company adds to the caution. */
  cautionAdded?: string
  /** The colours chosen for this browser. */
  scheme?: Scheme
  /** The address of this page, to come back to. */
  here?: string
  /** What stands in the search box. */
  query?: string
  /** The search box leads to the screen for a call. */
  onThePhone?: boolean
  /** The search box is what the page is for. */
  searchFirst?: boolean
  messages?: readonly Message[]
  /** The form on the page came back with faults. */
  faulty?: boolean
  /** Wide pages (ledgers, tables) use the whole width. */
  wide?: boolean
}>

const nouns: readonly { place: Place; words: string; href: string; roles: readonly string[] }[] = [
  { place: 'ledger', words: 'Ledger', href: paths.ledger(), roles: ['owner', 'office', 'crew'] },
  { place: 'phone', words: 'Phone', href: paths.phone(), roles: ['owner', 'office'] },
  { place: 'day', words: 'Day', href: paths.day(), roles: ['owner', 'office', 'crew'] },
  { place: 'month', words: 'Month', href: paths.month(), roles: ['owner', 'office'] },
  { place: 'homes', words: 'Homes', href: paths.homes(), roles: ['owner', 'office', 'crew'] },
  { place: 'people', words: 'People', href: paths.people(), roles: ['owner', 'office'] },
  { place: 'devices', words: 'Devices', href: paths.devices(), roles: ['owner', 'office', 'crew'] },
  { place: 'rules', words: 'Rules', href: paths.rules(), roles: ['owner', 'office', 'crew'] },
  { place: 'outbox', words: 'Outbox', href: paths.outbox(), roles: ['owner', 'office'] },
  { place: 'office', words: 'Office', href: paths.company(), roles: ['owner'] },
]

/** The frame of every page for staff. */
export function Frame(props: FrameProps): JSX.Element {
  const { title, home, company, signedIn, faulty, wide, messages, scheme = null, here, children } = props
  return (
    <Document title={[title, home, company]} faulty={faulty} bodyClass="staff" scheme={scheme}>
      <a class="skip" href="#content">
        Skip to the content
      </a>
      <header class="head">
        <p class="company">
          <a href={paths.ledger()} safe>
            {company}
          </a>
        </p>
        {signedIn ? <SearchBox {...props} /> : ''}
        {signedIn ? <SignedIn name={signedIn.name} csrf={props.csrf} /> : ''}
        {signedIn ? <Nouns roles={signedIn.roles} place={props.place ?? null} /> : ''}
      </header>
      <main id="content" tabindex="-1" class={wide ? 'wide' : undefined}>
        <Messages messages={messages} />
        {children}
      </main>
      <footer class="foot">
        <Caution added={props.cautionAdded} />
        {here === undefined ? '' : <SchemeChoice scheme={scheme} here={here} />}
      </footer>
    </Document>
  )
}

function SearchBox({
  query,
  onThePhone,
  searchFirst,
}: Pick<FrameProps, 'query' | 'onThePhone' | 'searchFirst'>): JSX.Element {
  return (
    <form class="search" role="search" action={onThePhone ? paths.phone() : paths.search()} method="get">
      <label for="search-box">{onThePhone ? 'Who is calling' : 'Find a home'}</label>
      <input
        id="search-box"
        name="q"
        type="search"
        value={query === undefined ? undefined : attributeText(query)}
        placeholder="street, name, phone, tag or serial"
        autocomplete="off"
        spellcheck="false"
        enterkeyhint="search"
        autofocus={searchFirst}
      />
      <button type="submit">Find</button>
    </form>
  )
}

function SignedIn({ name, csrf }: { name: string; csrf?: string }): JSX.Element {
  return (
    <form class="signed-in" action={paths.signOut()} method="post">
      <input type="hidden" name="_csrf" value={csrf ?? ''} />
      <a href={paths.account()} safe>
        {name}
      </a>
      <button type="submit" class="quiet">
        Sign out
      </button>
    </form>
  )
}

function Nouns({ roles, place }: { roles: readonly string[]; place: Place | null }): JSX.Element {
  const shown = nouns.filter(noun => noun.roles.some(role => roles.includes(role)))
  return (
    <nav class="nouns" aria-label="Main">
      <ul>
        {shown.map(noun => (
          <li>
            <a href={noun.href} aria-current={noun.place === place ? 'page' : undefined} safe>
              {noun.words}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  )
}
