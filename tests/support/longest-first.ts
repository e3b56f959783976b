import { relative } from 'node:path'
import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** Those that take longest, the longest first: one that began last would run on alone when all others have ended. */
const longest = [
  'pages/matrix',
  'pages/forms-with-faults',
  'faults/silent-database',
  'pages/script-payloads',
  'faults/killed-reminders',
  'ops/start',
  'ops/production',
  'faults/export-memory',
  'api/changes/audit',
  'faults/mail-server',
  'faults/silent-mail-server',
  'ops/backup',
  'web/gallery',
  'intake/monitor-dialects',
  'faults/process-faults',
  'ops/import',
  'pages/sign-in',
  'pages/homes-table',
].map(name => `tests/${name}.test.ts`)

/** The order of files in a run: those first, the others as the runner has it. */
export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const others = await super.sort(files)
    const place = (file: TestSpecification): number => {
      const at = longest.indexOf(relative(this.ctx.config.root, file.moduleId))
      return at === -1 ? longest.length : at
    }
    return others.toSorted((one, other) => place(one) - place(other))
  }
}
