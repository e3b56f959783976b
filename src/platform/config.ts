import { readFileSync } from 'node:fs'
import { isIP } from 'node:net'
import { z } from 'zod'
import { isSigningKey, noSigningKey } from './auth/token-keys.ts'

const secret = (name: string) =>
  z.string({ error: `${name} is missing: set it, or ${name}_FILE, to at least 32 random characters` }).min(32, {
    error: `${name} is too short: use at least 32 random characters`,
  })
const sample = /change-?me|example|secret-?here|0{16}|placeholder/i
const list = z.string().transform(text =>
  text
    .split(',')
    .map(part => part.trim())
    .filter(Boolean),
)

/** An address, a range such as 172.16.0.0/12, or one of the names that stand for private ranges. */
function isProxy(text: string): boolean {
  const [address = '', bits] = text.split('/')
  const longest = { 0: 0, 4: 32, 6: 128 }[isIP(address)] ?? 0
  if (longest === 0) return ['loopback', 'linklocal', 'uniquelocal'].includes(text)
  return bits === undefined || (/^\d{1,3}$/.test(bits) && Number(bits) <= longest)
}
const proxies = list.refine(all => all.every(isProxy), {
  error: 'TRUSTED_PROXIES takes addresses and ranges with commas between, such as 127.0.0.1, 172.16.0.0/12',
})

const environment = z.object({
  NODE_ENV: z.enum(['production', 'development', 'test']).default('development'),
  PORT: z.coerce.number().int().min(0).max(65_535).default(8080),
  HOST: z.string().default('127.0.0.1'),
  PUBLIC_URL: z.url({ protocol: /^https?$/ }).optional(),
  DATABASE_URL: z
    .string()
    .regex(/^postgres(ql)?:\/\//, 'DATABASE_URL is no postgresql:// address')
    .optional(),
  DATA_DIR: z.string().default('.data'),
  SMTP_URL: z
    .string()
    .regex(/^smtps?:\/\//, 'SMTP_URL is no smtp:// or smtps:// address')
    .optional(),
  MAIL_FROM: z.string().optional(),
  TRUSTED_PROXIES: proxies.default([]),
  SESSION_SECRET: secret('SESSION_SECRET'),
  LINK_KEY: secret('LINK_KEY'),
  LINK_KEY_PREVIOUS: z.string().min(32).optional(),
  TOKEN_SIGNING_KEY: z
    .string({
      error:
        'TOKEN_SIGNING_KEY is missing: set it, or TOKEN_SIGNING_KEY_FILE, to an Ed25519 private key (JWK or PKCS #8 PEM)',
    })
    .refine(isSigningKey, { error: noSigningKey('TOKEN_SIGNING_KEY') }),
  TOKEN_SIGNING_KEY_PREVIOUS: z
    .string()
    .refine(isSigningKey, { error: noSigningKey('TOKEN_SIGNING_KEY_PREVIOUS') })
    .optional(),
  METRICS_TOKEN: z.string().min(16).optional(),
  SECURITY_CONTACT: z.string().optional(),
  LOG_LEVEL: z.enum(['fatal', 'error', 'warn', 'info', 'debug', 'silent']).default('info'),
})

export const settingNames: readonly string[] = Object.keys(environment.shape)

export type Config = {
  readonly production: boolean
  readonly port: number
  readonly host: string
  /** Origin under which people reach the service, without a trailing slash. */
  readonly publicUrl: string
  readonly secure: boolean
  readonly databaseUrl: string | null
  readonly dataDir: string
  readonly smtpUrl: string | null
  readonly mailFrom: string
  readonly trustedProxies: readonly string[]
  readonly sessionSecret: string
  readonly linkKeys: readonly string[]
  /** The first signs, all verify. */
  readonly tokenSigningKeys: readonly string[]
  readonly metricsToken: string | null
  readonly securityContact: string
  readonly logLevel: string
}

/** Everything that is wrong with the environment, at once. */
export class ConfigProblems extends Error {
  readonly problems: readonly string[]
  constructor(problems: readonly string[]) {
    super(`The configuration has problems:\n${problems.map(problem => `  - ${problem}`).join('\n')}`)
    this.problems = problems
  }
}

/** The configuration from environment variables; a secret `X` may stand in the file that `X_FILE` names. */
export function readConfig(env: Record<string, string | undefined>): Config {
  const problems: string[] = []
  const given = withFiles(env, problems)
  const parsed = environment.safeParse(given)
  if (!parsed.success) problems.push(...parsed.error.issues.map(issue => sayIssue(issue.path.join('.'), issue.message)))
  const values = parsed.data
  if (given.NODE_ENV === 'production') problems.push(...productionProblems(given))
  if (!values || problems.length) throw new ConfigProblems(problems)
  const publicUrl = (values.PUBLIC_URL ?? `http://${hostInUrl(values.HOST)}:${values.PORT}`).replace(/\/+$/, '')
  return {
    production: values.NODE_ENV === 'production',
    port: values.PORT,
    host: values.HOST,
    publicUrl,
    secure: publicUrl.startsWith('https:'),
    databaseUrl: values.DATABASE_URL ?? null,
    dataDir: values.DATA_DIR,
    smtpUrl: values.SMTP_URL ?? null,
    mailFrom: values.MAIL_FROM ?? `underslab@${new URL(publicUrl).hostname}`,
    trustedProxies: values.TRUSTED_PROXIES,
    sessionSecret: values.SESSION_SECRET,
    linkKeys: [values.LINK_KEY, values.LINK_KEY_PREVIOUS].filter(key => key !== undefined),
    tokenSigningKeys: [values.TOKEN_SIGNING_KEY, values.TOKEN_SIGNING_KEY_PREVIOUS].filter(key => key !== undefined),
    metricsToken: values.METRICS_TOKEN ?? null,
    securityContact: values.SECURITY_CONTACT ?? `mailto:security@${new URL(publicUrl).hostname}`,
    logLevel: values.LOG_LEVEL,
  }
}

const hostInUrl = (host: string) =>
  host === '0.0.0.0' || host === '::' ? 'localhost' : host.includes(':') ? `[${host}]` : host
const sayIssue = (name: string, message: string) => (message.includes(name) ? message : `${name}: ${message}`)

function withFiles(env: Record<string, string | undefined>, problems: string[]): Record<string, string> {
  const filled: Record<string, string> = {}
  for (const [name, value] of Object.entries(env)) if (value !== undefined && value !== '') filled[name] = value
  for (const name of settingNames) {
    const file = filled[`${name}_FILE`]
    if (!file || filled[name]) continue
    try {
      filled[name] = readFileSync(file, 'utf8').trim()
    } catch {
      problems.push(`${name}_FILE names a file that cannot be read: ${file}`)
    }
  }
  return filled
}

function productionProblems(values: Readonly<Record<string, string>>): string[] {
  const problems: string[] = []
  if (!values.PUBLIC_URL) problems.push('PUBLIC_URL is missing: set it to the https:// address people use')
  else if (!values.PUBLIC_URL.startsWith('https:')) problems.push('PUBLIC_URL is http: production needs https://')
  if (!values.DATABASE_URL) problems.push('DATABASE_URL is missing: production uses a server of its own')
  if (values.SMTP_URL && !values.MAIL_FROM) problems.push('MAIL_FROM is missing: say which address mails come from')
  for (const name of ['SESSION_SECRET', 'LINK_KEY', 'TOKEN_SIGNING_KEY'] as const)
    if (sample.test(values[name] ?? '')) problems.push(`${name} still holds a sample value: set it to a random one`)
  return problems
}
