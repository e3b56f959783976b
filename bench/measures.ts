import { homesTable } from './measures/homes-table.ts'
import { importing } from './measures/importing.ts'
import { mailing } from './measures/mailing.ts'
import { merging } from './measures/merging.ts'
import { pages } from './measures/pages.ts'
import { phone } from './measures/phone.ts'
import { records } from './measures/record-read.ts'
import { reminders } from './measures/reminders.ts'
import { restanding } from './measures/restanding.ts'
import { lists } from './measures/search-and-lists.ts'
import { standing } from './measures/standing.ts'
import { starting } from './measures/starting.ts'
import { writing } from './measures/writing.ts'
import type { Measure } from './rig/measure.ts'

/** What is measured, by the name it is asked for with. */
export const measures: Readonly<Record<string, Measure>> = {
  importing,
  'homes-table': homesTable,
  standing,
  records,
  lists,
  reminders,
  mailing,
  merging,
  pages,
  phone,
  restanding,
  starting,
  writing,
}
