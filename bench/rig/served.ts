import { type ChildProcess, fork } from 'node:child_process'
import { join } from 'node:path'
import autocannon from 'autocannon'
import type { Served, What } from '../serving.ts'
import type { Measured } from './rounds.ts'

type Server = Served & { readonly process: ChildProcess; close(): void }

/** Starts one of the servers in a process of its own, so that the load falls on another core. */
export async function served(what: What, databaseUrl: string): Promise<Server> {
  const child = fork(join(import.meta.dirname, '..', 'serving.ts'), [what, databaseUrl], {
    execArgv: ['--import', 'tsx'],
  })
  const told = await new Promise<Served>((resolve, reject) => {
    child.once('message', message => resolve(message as Served))
    child.once('exit', code => reject(new Error(`${what} ended with ${code}`)))
  })
  return { ...told, process: child, close: () => void child.kill() }
}

type Load = { readonly perSecond: Measured; readonly p99: number[] }

/** Requests a second under 32 connections that each wait for their answer; every answer must have this status. */
export function load(
  { port, token }: Served,
  path: string,
  status: number,
  headers: Record<string, string> = {},
): Load {
  const p99: number[] = []
  const perSecond = async () => {
    const result = await autocannon({
      url: `http://127.0.0.1:${port}${path}`,
      connections: 32,
      duration: 2,
      headers: { authorization: `Bearer ${token}`, ...headers },
    })
    const statuses = Object.keys(result.statusCodeStats)
    if (result.errors > 0 || statuses.some(seen => seen !== String(status)))
      throw new Error(`${path} answered ${statuses.join(', ')} with ${result.errors} errors`)
    p99.push(result.latency.p99)
    return result.requests.total / result.duration
  }
  return { perSecond, p99 }
}
