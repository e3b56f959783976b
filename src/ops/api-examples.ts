import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { programFolder } from './program-files.ts'

type Examples = Readonly<Record<string, { readonly request?: unknown; readonly response?: unknown }>>

/** Bodies of real calls, by operation, as the tests keep them beside the API document. */
export const examplesOfProgram = async (): Promise<Examples> =>
  JSON.parse(await readFile(join(programFolder, 'openapi', 'examples.json'), 'utf8')) as Examples
