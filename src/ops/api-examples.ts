import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { programFolder } from './program-files.ts'

type Example = { readonly request?: unknown; readonly response?: unknown; readonly otherwise?: Record<string, unknown> }
type Examples = Readonly<Record<string, Example>>

/** Bodies of real calls, by operation, as the tests keep them beside the API document. */
export const examplesOfProgram = async (): Promise<Examples> =>
  JSON.parse(await readFile(join(programFolder, 'openapi', 'examples.json'), 'utf8')) as Examples
