// npm run underslab -- …: the operator's command; `npm run underslab -- help` lists what it can do.
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { prepare, root } from './prepare.mjs'

prepare()
process.setSourceMapsEnabled(true)
await import(pathToFileURL(join(root, 'dist/src/cli.js')).href)
