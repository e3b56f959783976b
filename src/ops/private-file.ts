import { chmodSync, existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs'

/** Writes JSON that only the owner may read, whole or not at all. */
export function writePrivate(file: string, content: unknown): void {
  const unfinished = `${file}.${process.pid}.new`
  writeFileSync(unfinished, `${JSON.stringify(content, null, 2)}\n`, { mode: 0o600 })
  chmodSync(unfinished, 0o600)
  renameSync(unfinished, file)
}

export function readPrivate<T>(file: string): T | null {
  return existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as T) : null
}
