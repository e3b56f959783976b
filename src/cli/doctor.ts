import { unsealedSince, verifyAuditChain } from '../features/changes/seal-audit.ts'
import { durability, jobs, migrations, reached, serverVersion, time } from '../ops/doctor/database.ts'
import { type Diagnosis, fine, notice, type Patient, wrong } from '../ops/doctor/diagnosis.ts'
import { backup, disk, proxy, secretFiles } from '../ops/doctor/machine.ts'
import { mail } from '../ops/doctor/mail.ts'
import { faultInWords } from '../ops/fault-in-words.ts'
import { type Settings, settingsOf } from '../ops/local-settings.ts'
import { systemClock } from '../platform/clock.ts'
import { openDatabase } from '../platform/db/client.ts'
import { createLog } from '../platform/log.ts'
import { type Command, print, readArgs, withLocal } from './command.ts'

type Check = {
  readonly part: string
  readonly look: (patient: Patient) => Promise<Diagnosis>
  /** It says something also when the database does not answer. */
  readonly alone?: true
}

const checks: readonly Check[] = [
  { part: 'database', look: serverVersion },
  { part: 'migrations', look: migrations },
  { part: 'durability', look: durability },
  { part: 'time', look: time },
  { part: 'secrets', look: secretFiles, alone: true },
  { part: 'proxy', look: proxy, alone: true },
  { part: 'mail', look: mail },
  { part: 'jobs', look: jobs },
  { part: 'disk', look: disk, alone: true },
  { part: 'backup', look: backup },
  { part: 'audit log', look: auditChain },
]

export const doctorCommand: Command = {
  name: 'doctor',
  summary: 'say what is misconfigured or broken, and what to do about it',
  help: `underslab doctor [--json]

  Looks at the settings, the database, clocks, secrets, the proxy, mail, jobs, disk, backups and the audit log.
  Changes nothing. Ends with 1 when something is wrong.`,
  async run(args) {
    const { values } = readArgs(args, { json: { type: 'boolean', default: false } }, [])
    const found = await withLocal(async local => {
      const config = settings(() => settingsOf(local))
      return Array.isArray(config) ? config : examine(config)
    })
    if (values.json) print(JSON.stringify(found))
    else for (const diagnosis of found) printDiagnosis(diagnosis)
    if (found.some(({ state }) => state === 'wrong')) process.exitCode = 1
  },
}

/** The settings, or what is wrong with each of them. */
function settings(read: () => Settings): Settings | Diagnosis[] {
  try {
    return read()
  } catch (error) {
    const problems = error instanceof Error && 'problems' in error ? (error.problems as string[]) : [String(error)]
    return problems.map(problem => wrong('settings', problem, 'set it in the environment of the program'))
  }
}

async function examine(config: Settings): Promise<Diagnosis[]> {
  const db = openDatabase({ url: config.databaseUrl, log: createLog('silent'), poolSize: 2 })
  try {
    const patient = { db, config, now: systemClock().now() }
    const away = await reached(patient)
    const found = [fine('settings', 'complete'), ...(away ? [away] : [])]
    for (const { part, look, alone } of checks)
      if (!away || alone) found.push(await look(patient).catch(error => failed(part, error)))
    return found
  } finally {
    await db.close()
  }
}

const failed = (part: string, error: unknown): Diagnosis =>
  wrong(part, `could not be looked at: ${faultInWords(error)}`, 'see the lines above this one')

async function auditChain({ db, now }: Patient): Promise<Diagnosis> {
  const chain = await verifyAuditChain(db)
  const late = await unsealedSince(db, now - 600_000)
  if (chain.whole && late > 0)
    return notice(
      'audit log',
      `${late} lines have waited to be sealed for over 10 minutes`,
      'start the program; if it runs, look for a database session that has long been in one transaction',
    )
  if (chain.whole)
    return fine('audit log', `${chain.sealed} lines in an unbroken chain, ${chain.unsealed} to be sealed`)
  const { seq, at } = chain.brokenAt
  return wrong(
    'audit log',
    `the chain is broken at line ${seq} of ${new Date(at).toISOString()}: it was altered outside the program`,
    'compare it with the last backup, and find out who can write to the database',
  )
}

function printDiagnosis({ part, state, says, remedy }: Diagnosis): void {
  const mark = { fine: 'fine  ', notice: 'notice', wrong: 'WRONG ' }[state]
  print(`${mark}  ${part.padEnd(10)}  ${says}${remedy ? `\n${' '.repeat(20)}→ ${remedy}` : ''}`)
}
