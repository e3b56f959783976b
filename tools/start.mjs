// npm start: from a bare clone to the running program.
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { prepare, root } from './prepare.mjs'

prepare()
process.setSourceMapsEnabled(true)
await import(pathToFileURL(join(root, 'dist/src/main.js')).href)
