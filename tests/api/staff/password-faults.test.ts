import { describe, expect, it } from 'vitest'
import { passwordFault } from '../../../src/features/staff/password-faults.ts'
import { passwordFits, passwordHashOf } from '../../../src/features/staff/password-hash.ts'
import { safeNext } from '../../../src/features/staff/safe-next.ts'

const context = ['Noor Haas', 'noor.haas@clearwell.example', 'Clearwell Mitigation']
const codeOf = async (password: string) => (await passwordFault(password, context))?.code ?? null

describe('a password is refused', () => {
  it.each([
    ['elevenchars', 'too-short'],
    ['漢字漢字漢字漢字漢字漢', 'too-short'],
    ['x'.repeat(1001), 'too-long'],
    ['unbelievable', 'common'],
    ['password1234', 'common'],
    ['!!Password2026!!', 'common'],
    ['abcabcabcabc', 'guessable'],
    ['aaaaaaaaaaaaaaaa', 'guessable'],
    ['passwordpassword', 'guessable'],
    ['abcdefghijklm', 'guessable'],
    ['210987654321', 'guessable'],
    ['clearwell2026', 'guessable'],
    ['NoorHaas1984!', 'guessable'],
    ['underslab2026', 'guessable'],
  ])('%j: %s', async (password, code) => {
    expect(await codeOf(password)).toBe(code)
  })
})

describe('a password is taken', () => {
  it.each([
    'twelve chars',
    'lantern gravel oboe',
    'ünïcode räum 漢字',
    'x7#Kq'.concat('!pW2z$'.repeat(12)),
    ' spaces around it ',
  ])('%j', async password => {
    expect(await codeOf(password)).toBeNull()
  })
})

describe('a hash', () => {
  it('is argon2id with 19 MiB, two passes and one lane, another each time', async () => {
    const [one, two] = [await passwordHashOf('lantern gravel oboe'), await passwordHashOf('lantern gravel oboe')]
    expect(one).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/)
    expect(one).not.toBe(two)
  })

  it('tells apart what differs after the seventy-second character', async () => {
    const kept = await passwordHashOf(`${'x'.repeat(72)}a`)
    expect([await passwordFits(`${'x'.repeat(72)}a`, kept), await passwordFits(`${'x'.repeat(72)}b`, kept)]).toEqual([
      true,
      false,
    ])
  })

  it('takes one spelling of a letter for the other (NIST SP 800-63B: normalised)', async () => {
    expect(await passwordFits('räum räum räum', await passwordHashOf('räum räum räum'.normalize('NFD')))).toBe(true)
  })
})

describe('where to go on after signing in', () => {
  it.each([
    ['/account', '/account'],
    ['/homes?order=city&after=x', '/homes?order=city&after=x'],
    ['/homes#x', '/homes'],
    ['', '/'],
    ['account', '/'],
    ['//evil.example', '/'],
    ['/\\evil.example', '/'],
    ['https://evil.example/', '/'],
    ['/..//evil.example', '/'],
    ['/\tevil', '/'],
  ])('%j is %j', (next, path) => {
    expect(safeNext(next)).toBe(path)
  })
})
