import { existsSync, statSync } from 'node:fs'
import { statfs } from 'node:fs/promises'
import { join } from 'node:path'
import { sql } from '../../platform/db/client.ts'
import { ago, type Diagnosis, fine, notice, type Patient, wrong } from './diagnosis.ts'

const gigabyte = 1e9
const day = 86_400_000

/** @param free bytes left where the data is */
export async function disk({ config }: Patient, free?: number): Promise<Diagnosis> {
  const folder = existsSync(config.dataDir) ? config.dataDir : '.'
  const { bavail, bsize } = await statfs(folder)
  const left = free ?? bavail * bsize
  const says = `${(left / gigabyte).toFixed(1)} GB left on the disk of ${config.dataDir}`
  if (left < gigabyte / 5) return wrong('disk', says, 'free some space: at zero the database stops')
  return left < 2 * gigabyte ? notice('disk', says, 'free some space soon') : fine('disk', says)
}

const lastVerified = sql('doctor-backup', 'select max(verified_at) as at from backup_log')

/** Only a backup that was restored once counts. */
export async function backup({ db, now }: Patient): Promise<Diagnosis> {
  const at = (await db.one<{ at: number | null }>(lastVerified))?.at ?? null
  const remedy = 'run: npm run underslab -- backup FILE --verify, and keep the file on another machine'
  if (at === null) return notice('backup', 'no backup has ever been proved by restoring it', remedy)
  const says = `the last proved backup was taken ${ago(now - at)}`
  return now - at > 7 * day ? wrong('backup', says, remedy) : fine('backup', says)
}

/** Behind a proxy that is not named, all people share its address, and one who mistypes a password locks out all. */
export async function proxy({ config }: Patient): Promise<Diagnosis> {
  const unbelieved = await forwardedUnbelieved(config.port)
  const remedy = "set TRUSTED_PROXIES to the proxy's address, such as 127.0.0.1 or 172.16.0.0/12"
  if (unbelieved > 0)
    return wrong('proxy', `X-Forwarded-For came ${unbelieved} times from an address that is not trusted`, remedy)
  if (config.publicUrl.startsWith('https:') && config.trustedProxies.length === 0)
    return wrong('proxy', 'people come by https, so through a proxy, but none is trusted', remedy)
  const open = config.trustedProxies.filter(range => /\/0$/.test(range))
  if (open.length > 0) return wrong('proxy', `TRUSTED_PROXIES believes everybody (${open.join(', ')})`, remedy)
  if (config.trustedProxies.length === 0) return fine('proxy', 'none, and none is expected')
  return fine('proxy', `trusted: ${config.trustedProxies.join(', ')}`)
}

/** What the running program has counted; 0 when none runs here. */
async function forwardedUnbelieved(port: number): Promise<number> {
  try {
    const answer = await fetch(`http://127.0.0.1:${port}/metrics`, { signal: AbortSignal.timeout(2_000) })
    return Number(/^forwarded_unbelieved_total (\d+)$/m.exec(await answer.text())?.[1] ?? 0)
  } catch {
    return 0
  }
}

/** Files that hold secrets are for their owner alone. */
export async function secretFiles({ config }: Patient): Promise<Diagnosis> {
  const files = ['secrets.json', 'database.json']
    .map(name => join(config.dataDir, name))
    .filter(file => existsSync(file))
  const open = files.filter(file => (statSync(file).mode & 0o077) !== 0)
  if (open.length > 0)
    return wrong('secrets', `others on this machine can read ${open.join(', ')}`, `run: chmod 600 ${open.join(' ')}`)
  return fine('secrets', files.length > 0 ? 'kept for this user alone' : 'given by the environment')
}
