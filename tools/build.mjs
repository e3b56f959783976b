// npm run build: the program as JavaScript in dist/, which is what production runs.
import { prepare } from './prepare.mjs'

prepare()
