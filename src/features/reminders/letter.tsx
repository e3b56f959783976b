import type { PropsWithChildren } from '@kitajs/html'
import { cautionWith } from '../../web/caution.tsx'
import { writtenNumber } from '../../web/written-number.ts'
import type { Letterhead } from './company-queries.ts'

/** A mail before it is queued: subject, text and HTML that say the same. */
export type Letter = { readonly subject: string; readonly textBody: string; readonly htmlBody: string }

/** Stands in a kept body where the address of a home's page goes; the address itself is made at each sending. */
export const pageBlank = (linkId: string): string => `[[page:${linkId}]]`

/** Puts the addresses into a body that was kept with blanks. */
export const fillPages = (body: string, addressOf: (linkId: string) => string): string =>
  body.replaceAll(/\[\[page:([0-9a-f-]{36})\]\]/g, (_, linkId: string) => addressOf(linkId))

const where = ({ street, city, region, postcode }: Letterhead) =>
  [street, city, [region, postcode].filter(Boolean).join(' ')].filter(Boolean).join(', ')
const reach = ({ phone, country, replyTo }: Letterhead) =>
  [phone && writtenNumber(phone, country), replyTo].filter(Boolean).join(', ')
const licences = ({ licenceNumbers }: Letterhead) =>
  licenceNumbers.length === 0 ? '' : `Licence ${licenceNumbers.join(', ')}`

/** What the foot of every letter says, a line each: whom to ask, and who wrote. */
export const footLines = (company: Letterhead): string[] =>
  [
    `Whom to ask: ${[company.name, reach(company)].filter(Boolean).join(', ')}`,
    where(company),
    ...company.letterhead.split('\n'),
    licences(company),
  ].filter(Boolean)

/** The text of a letter: greeting, paragraphs, what the page is for where it leads to one, foot, caution. */
export const letterText = (company: Letterhead, name: string, paragraphs: readonly string[], withPage = true): string =>
  [
    greeting(name),
    ...paragraphs,
    ...(withPage ? [pageWords] : []),
    footLines(company).join('\n'),
    `Caution. ${cautionWith(company.cautionAdded)}`,
  ].join('\n\n')

export const greeting = (name: string): string => (name === '' ? 'Good day,' : `Dear ${name},`)
const pageWords =
  'On that page you can ask for a visit, send a result of your own, say that you moved, or stop these mails. ' +
  'It needs no account.'

const ink = 'color:#1b1813'
const grey = 'color:#5d574c'
const face = "font-family:'Source Sans 3','Segoe UI',Helvetica,Arial,sans-serif;font-size:17px;line-height:1.5"
const paragraph = 'margin:0 0 16px'

/** The HTML of a letter, styled on its elements and without anything from elsewhere. */
export const LetterDocument = (
  props: PropsWithChildren<{ title: string; company: Letterhead; name: string; withPage?: boolean }>,
): JSX.Element => (
  <>
    {'<!doctype html>'}
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light" />
        <title safe>{props.title}</title>
      </head>
      <body style={`margin:0;padding:24px 16px;background:#fcfaf5;${ink};${face}`}>
        <div role="main" style="max-width:34em;margin:0 auto">
          <p style="margin:0 0 24px;padding:0 0 12px;border-bottom:2px solid #854706;font-weight:600" safe>
            {props.company.name}
          </p>
          <p style={paragraph} safe>
            {greeting(props.name)}
          </p>
          {props.children}
          {props.withPage === false ? '' : <p style={paragraph}>{pageWords as 'safe'}</p>}
          <div style="margin:24px 0 0;padding:16px 0 0;border-top:1px solid #8b8373">
            {footLines(props.company).map(line => (
              <p style={`margin:0;${grey}`} safe>
                {line}
              </p>
            ))}
            <p style="margin:16px 0 0">
              <strong>Caution.</strong> <span safe>{cautionWith(props.company.cautionAdded)}</span>
            </p>
          </div>
        </div>
      </body>
    </html>
  </>
)

/** The way to a home's page: wide enough for a thumb. */
export const PageButton = ({ linkId, words }: { linkId: string; words: string }): JSX.Element => (
  <p style="margin:16px 0 0">
    <a
      href={pageBlank(linkId)}
      style="display:inline-block;padding:12px 20px;background:#854706;color:#fffdf8;text-decoration:none;border-radius:4px;font-weight:600"
      safe
    >
      {words}
    </a>
  </p>
)

export const Paragraph = ({ words }: { words: string }): JSX.Element => (
  <p style="margin:0 0 8px" safe>
    {words}
  </p>
)
