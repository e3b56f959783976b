import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'

export type Asset = { readonly path: string; readonly type: string; readonly body: Buffer }

const folder = join(import.meta.dirname, 'assets')

function hashed(name: string, type: string, body: Buffer): Asset {
  const [, stem, ending] = /^(.+)\.(\w+)$/.exec(name)!
  const hash = createHash('sha256').update(body).digest('base64url').slice(0, 12)
  return { path: `/assets/${stem}.${hash}.${ending}`, type, body }
}

const fromFile = (name: string, type: string) => hashed(name, type, readFileSync(join(folder, name)))

const font = fromFile('source-sans-3.woff2', 'font/woff2')
const script = fromFile('underslab.js', 'text/javascript; charset=utf-8')
const icon = fromFile('icon.svg', 'image/svg+xml')
// The sheets name the font by its hash, so they are put together before they are hashed themselves.
const sheetText = [
  'ink.css',
  'page.css',
  'parts.css',
  'ledger.css',
  'homes.css',
  'phone.css',
  'forms.css',
  'office.css',
  'outbox.css',
  'drawings.css',
  'print.css',
]
  .map(name => readFileSync(join(folder, name), 'utf8'))
  .join('\n')
  .replaceAll('url(source-sans-3.woff2)', `url(${font.path})`)
const sheet = hashed('underslab.css', 'text/css; charset=utf-8', Buffer.from(sheetText))

/** What every page asks for; a path changes whenever its content does. */
export const assets = { font, script, icon, sheet } as const
