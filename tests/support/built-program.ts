import { execFileSync } from 'node:child_process'
import { cpSync, existsSync } from 'node:fs'
import { join } from 'node:path'
import { testFolder } from './postgres.ts'

const root = join(import.meta.dirname, '..', '..')
let copy: string | undefined

/** The folder of the built program: a copy of its own, so that a build that runs meanwhile does not pull it away. */
export function builtProgram(): string {
  if (copy) return copy
  execFileSync(process.execPath, [join(root, 'tools/build.mjs')], { cwd: root, stdio: ['ignore', 'ignore', 'inherit'] })
  const folder = join(testFolder, `program-${process.pid}`)
  if (!existsSync(folder)) cpSync(join(root, 'dist'), folder, { recursive: true })
  copy = folder
  return folder
}
