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
    const result = await underLoad(port, { headers: { authorization: `Bearer ${token}`, ...headers } }, path, status)
    p99.push(result.latency.p99)
    return result.requests.total / result.duration
  }
  return { perSecond, p99 }
}

/** Writes a second: the same body to each of these paths in turn, each with a key of its own. */
export function writes({ port, token }: Served, paths: readonly string[], body: object): Measured {
  let n = 0
  const setupRequest = (request: Record<string, unknown>) => ({
    ...request,
    method: 'POST',
    path: paths[n++ % paths.length],
    body: JSON.stringify(body),
    headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json', 'idempotency-key': `bench-${n}` },
  })
  return async () => {
    const result = await underLoad(port, { requests: [{ setupRequest }] }, '', 201)
    return result.requests.total / result.duration
  }
}

async function underLoad(port: number, asked: object, path: string, status: number) {
  const result = await autocannon({ url: `http://127.0.0.1:${port}${path}`, connections: 32, duration: 2, ...asked })
  const statuses = Object.keys(result.statusCodeStats)
  if (result.errors > 0 || statuses.some(seen => seen !== String(status)))
    throw new Error(`${path} answered ${statuses.join(', ')} with ${result.errors} errors`)
  return result
}
