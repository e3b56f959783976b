/** Why something of the database is not in an export, and what follows for whoever reads one in. */
export type LeftOut = { readonly why: string; readonly follows: string }

const secret = (what: string, follows: string): LeftOut => ({ why: `secret: ${what}`, follows })
const ofItsInstallation = (what: string, follows: string): LeftOut => ({
  why: `of the running installation, no record: ${what}`,
  follows,
})
const fromRecords = (what: string): LeftOut => ({
  why: `made from the records: ${what}`,
  follows: 'It is made again where the export is read in.',
})

/** Tables that no export holds. Every other table of the schema is in it, a new one too. */
export const leftOutTables: Readonly<Record<string, LeftOut>> = {
  staff_session: secret('who is signed in, and where', 'Everyone signs in anew.'),
  staff_token: secret('links by which people set a password', 'Links sent before open nothing.'),
  app_secret: secret('hashes of the secrets of apps', 'Each app gets a new secret on its page.'),
  sign_in_failure: ofItsInstallation('wrong passwords, counted', 'The count begins at nothing.'),
  revoked_token: ofItsInstallation('tokens of apps withdrawn early', 'Tokens of another installation open nothing.'),
  rate_count: ofItsInstallation('requests, counted', 'The count begins at nothing.'),
  idempotency: ofItsInstallation('answers kept for 72 hours', 'A request is not known again from before.'),
  worker_heartbeat: ofItsInstallation('processes that are running', 'The new ones say so themselves.'),
  import_progress: ofItsInstallation('how far an import has come', 'An import under way is proposed again.'),
  backup_log: ofItsInstallation('backups of this database', 'Take a first backup of the new one.'),
  change: ofItsInstallation(
    'the change feed, whose places count transactions of this database',
    'The feed begins anew. An app that continues from an old place is told so (410) and reads the records once more.',
  ),
  search_phrase: fromRecords('what a home is found by'),
  search_home: fromRecords('what a home is found by'),
  search_term: fromRecords('what a home is found by'),
}

/** Columns that no export holds, of tables that are in it. */
export const leftOutColumns: Readonly<Record<string, LeftOut>> = {
  'staff.password_hash': secret('hashes of passwords', 'Each person gets a new invitation and chooses a password.'),
  'company.reminders_released_at': ofItsInstallation(
    'whether reminders go out',
    'Reminders are paused until somebody releases them.',
  ),
}

/** What stands outside the schema. */
export const leftOutBeside: Readonly<Record<string, LeftOut>> = {
  'the job queue': ofItsInstallation('work in hand', 'What is to be done is found again by the sweeps.'),
  'LINK_KEY, TOKEN_SIGNING_KEY, SESSION_SECRET': secret(
    'the keys of the installation',
    'Links in mails already sent open only where the same LINK_KEY is set.',
  ),
}

/** Columns that sound like a secret and are none. A test fails for one that is neither here nor left out. */
export const soundSecretOnly: Readonly<Record<string, string>> = {
  'audit.hash': 'the chain that shows whether the audit log was altered',
  'exposure.pair_key': 'which two devices stood side by side',
  'test_evaluation.key': 'a fingerprint of what an evaluation was made from',
}

export const isLeftOut = (table: string, column?: string): boolean =>
  Object.hasOwn(leftOutTables, table) || (column !== undefined && Object.hasOwn(leftOutColumns, `${table}.${column}`))

/** The column whose bytes become files of their own, under the hash that the other column holds. */
export const kept = { table: 'stored_file', bytes: 'bytes', hash: 'sha256' } as const
