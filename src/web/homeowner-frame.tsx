import type { PropsWithChildren } from '@kitajs/html'
import { Caution } from './caution.tsx'
import { Document } from './document.tsx'
import { type Message, Messages } from './messages.tsx'
import type { Scheme } from './scheme.ts'
import { SchemeChoice } from './scheme-choice.tsx'
import { writtenNumber } from './written-number.ts'

export type HomeownerFrameProps = PropsWithChildren<{
  title: string
  /** `12 Kestrel Lane`. */
  home: string
  /** Whom to ask: the company with its phone and mail address, as it gives them. */
  company: {
    readonly name: string
    readonly phone: string | null
    readonly email: string | null
    readonly country: string
    /** What the company adds to the caution. */
    readonly cautionAdded: string
  }
  /** The colours chosen for this browser, and the address of this page, to come back to. */
  scheme: Scheme
  here?: string
  messages?: readonly Message[]
  faulty?: boolean
  lang?: string
}>

/** The quiet frame of what a homeowner sees behind a mailed link: no navigation, whom to ask at the end. */
export function HomeownerFrame(props: HomeownerFrameProps): JSX.Element {
  const { title, home, company, messages, faulty, lang, scheme, here, children } = props
  return (
    <Document title={[title, home, company.name]} faulty={faulty} lang={lang} bodyClass="homeowner" scheme={scheme}>
      <a class="skip" href="#content">
        Skip to the content
      </a>
      <header class="head">
        <p class="company" safe>
          {company.name}
        </p>
        <p class="about-home" safe>
          {home}
        </p>
      </header>
      <main id="content" tabindex="-1">
        <Messages messages={messages} />
        {children}
      </main>
      <footer class="foot">
        <p class="whom-to-ask">
          <strong>Whom to ask.</strong> <span safe>{company.name}</span>
          {company.phone ? <PhoneLink phone={company.phone} country={company.country} /> : ''}
          {company.email ? <MailLink email={company.email} /> : ''}
        </p>
        <Caution added={company.cautionAdded} />
        {here === undefined ? '' : <SchemeChoice scheme={scheme} here={here} />}
      </footer>
    </Document>
  )
}

const PhoneLink = ({ phone, country }: { phone: string; country: string }): JSX.Element => (
  <>
    {', '}
    <a href={`tel:${phone.replace(/[^+\d]/g, '')}`} safe>
      {writtenNumber(phone, country)}
    </a>
  </>
)

const MailLink = ({ email }: { email: string }): JSX.Element => (
  <>
    {', '}
    <a href={`mailto:${email}`} safe>
      {email}
    </a>
  </>
)
