import { type Description, linesPart, manifestName, sumsName } from './description.ts'
import { type Meanings, meaningOfTable } from './dictionary.ts'
import { kept } from './left-out.ts'

/** The words that whoever opens an export reads first. */
export const readmeText = (description: Description, meanings: Meanings, caution: string): string =>
  `EVERYTHING THIS COMPANY HAS ON RECORD

Written by Underslab ${description.version}, as of ${description.takenAt}. It is the state of one instant.

${caution}

WHAT IS IN IT

  csv/            each table for people: open it with a spreadsheet. UTF-8, commas, as RFC 4180 says. Where a cell would
                  be taken for a formula, an apostrophe stands before it. Nothing known and an empty text look the same.
  ndjson/         each table for programs: a record a line, as JSON. Nothing is lost in it: a column with nothing in it
                  is left out of its line, numbers that must stay exact are texts, instants are RFC 3339 in UTC with
                  milliseconds, other bytes are hexadecimal.
  files/          ${count(description.files.count, 'kept file')}: photos, monitor records, tables as they came. Each is named by the
                  SHA-256 of what is in it; ${linesPart(kept.table)} says what each was called.
  dictionary.csv  every table and column: its type, what it refers to, what it means.
  ${manifestName}   what this export is, for programs: version, level of the schema, counts.
  ${sumsName}      SHA-256 of every part. To check them all: sha256sum --check ${sumsName}

TABLES

${description.tables.map(table => `  ${table.name.padEnd(18)}${String(table.rows).padStart(9)}  ${firstSentence(meaningOfTable(meanings, table.name))}`).join('\n')}

WHAT IS LEFT OUT, AND WHAT FOLLOWS

${description.leftOut.map(({ what, why, follows }) => `  ${what}\n      ${why}. ${follows}`).join('\n')}

HOW TO READ IT IN

  Into an empty installation of the same or a later version, before anyone is added to it:

      npm run underslab -- import THIS-FILE.zip

  Everything is checked first and written in one transaction: all of it, or nothing. Identifiers and numbers stay as they
  are, and each home's standing is reckoned again and compared with the one in here. Reminders stay paused until somebody
  releases them; what was sent stays sent, and mails that were still waiting are held in the outbox.

  This is no backup. A backup is for the same installation: exact, with its secrets' hashes, its queue and its change
  feed. An export is for leaving, for looking, and for starting again elsewhere.

  Keep it as you would the records themselves: people's names, addresses, gate codes and results are in it, in the clear.
`

/** Enough for a list; the dictionary says the rest. */
const firstSentence = (meaning: string): string => meaning.split(/[.:;](?: |$)/)[0]!

const count = (n: number, what: string): string => `${n} ${what}${n === 1 ? '' : 's'}`
