import type { PropsWithChildren } from '@kitajs/html'
import { assets } from './read-assets.ts'
import type { Scheme } from './scheme.ts'

export type DocumentProps = PropsWithChildren<{
  /** What – home – company, without the empty ones. */
  title: readonly (string | null | undefined)[]
  /** Prefixes the title, so that the tab and a screen reader say it first. */
  faulty?: boolean
  lang?: string
  bodyClass?: string
  scheme?: Scheme
}>

const titleOf = (parts: DocumentProps['title'], faulty = false): string =>
  `${faulty ? 'Error: ' : ''}${parts.filter(part => part !== null && part !== undefined && part !== '').join(' – ')}`

/** The shell every page has: title, language, style, script and icon, all from this service. */
export function Document({ title, faulty, lang = 'en', bodyClass, scheme, children }: DocumentProps): JSX.Element {
  return (
    <>
      {'<!doctype html>'}
      <html lang={lang} data-scheme={scheme ?? undefined}>
        <head>
          <meta charset="utf-8" />
          <meta name="viewport" content="width=device-width, initial-scale=1" />
          <meta name="color-scheme" content="light dark" />
          <title safe>{titleOf(title, faulty)}</title>
          <link rel="preload" href={assets.font.path} as="font" type="font/woff2" crossorigin="" />
          <link rel="stylesheet" href={assets.sheet.path} />
          <link rel="icon" href={assets.icon.path} type="image/svg+xml" />
          <script src={assets.script.path} />
        </head>
        <body class={bodyClass}>{children}</body>
      </html>
    </>
  )
}
