import { generateKeyPairSync, randomBytes } from 'node:crypto'
import { type Config, readConfig } from '../../src/platform/config.ts'

const { privateKey } = generateKeyPairSync('ed25519')

/** Secrets as an operator would make them, new in every test process. */
export const testSecrets = {
  SESSION_SECRET: randomBytes(32).toString('base64url'),
  LINK_KEY: randomBytes(32).toString('base64url'),
  TOKEN_SIGNING_KEY: String(privateKey.export({ type: 'pkcs8', format: 'pem' })),
  METRICS_TOKEN: randomBytes(24).toString('base64url'),
}

/** The configuration read from an environment like a real one's. */
export const testConfig = (port: number, env: Readonly<Record<string, string>> = {}): Config =>
  readConfig({
    NODE_ENV: 'test',
    HOST: '127.0.0.1',
    PORT: String(port),
    PUBLIC_URL: `http://127.0.0.1:${port}`,
    MAIL_FROM: 'office@clearwell.example',
    ...testSecrets,
    ...env,
  })
