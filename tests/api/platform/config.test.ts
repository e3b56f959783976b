import { randomBytes } from 'node:crypto'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { ConfigProblems, readConfig } from '../../../src/platform/config.ts'
import { testSecrets } from '../../support/test-config.ts'

const good = {
  ...testSecrets,
  NODE_ENV: 'production',
  PUBLIC_URL: 'https://radon.example.net',
  DATABASE_URL: 'postgresql://app@db/underslab',
}
const problemsOf = (env: Record<string, string | undefined>): readonly string[] => {
  try {
    readConfig(env)
    return []
  } catch (error) {
    if (error instanceof ConfigProblems) return error.problems
    throw error
  }
}

describe('S37: the configuration', () => {
  it('is taken when all is there', () => {
    expect(problemsOf(good)).toEqual([])
    expect(readConfig(good)).toMatchObject({ production: true, secure: true, publicUrl: 'https://radon.example.net' })
  })

  it.each(['SESSION_SECRET', 'LINK_KEY', 'TOKEN_SIGNING_KEY', 'PUBLIC_URL', 'DATABASE_URL'])(
    'is refused in production without %s, by name',
    name => {
      const problems = problemsOf({ ...good, [name]: undefined })
      expect(problems).toHaveLength(1)
      expect(problems[0]).toContain(name)
    },
  )

  it('is refused in production over plain http, and with a value that our examples show', () => {
    expect(problemsOf({ ...good, PUBLIC_URL: 'http://radon.example.net' })[0]).toContain('PUBLIC_URL')
    expect(problemsOf({ ...good, LINK_KEY: 'change-me-change-me-change-me-change-me' })[0]).toContain('LINK_KEY')
  })

  it('names everything that is wrong at once, and shows no secret', () => {
    const problems = problemsOf({ ...good, PORT: 'many', LINK_KEY: 'short-but-private', SMTP_URL: 'ftp://mail' })
    expect(problems.map(problem => /[A-Z_]{4,}/.exec(problem)?.[0]).sort()).toEqual([
      'LINK_KEY',
      'MAIL_FROM',
      'PORT',
      'SMTP_URL',
    ])
    expect(problems.join()).not.toContain('short-but-private')
  })

  it('takes a secret from the file that NAME_FILE names, and says when it can not be read', () => {
    const folder = mkdtempSync(join(tmpdir(), 'config-'))
    const secret = randomBytes(32).toString('hex')
    writeFileSync(join(folder, 'key'), `${secret}\n`)
    const { LINK_KEY: _, ...rest } = good
    expect(readConfig({ ...rest, LINK_KEY_FILE: join(folder, 'key') }).linkKeys).toEqual([secret])
    expect(problemsOf({ ...rest, LINK_KEY_FILE: join(folder, 'none') })[0]).toContain('LINK_KEY_FILE')
    rmSync(folder, { recursive: true })
  })
})
