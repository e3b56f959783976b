import type { Db } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import { toldOfHomes } from './homes-schemas.ts'
import type { ToldHomes } from './homes-table/propose-homes.ts'
import { type EarlierImport, earlierImport, readImportedFile } from './import-queries.ts'
import type { ImportBatch, KeptReading } from './import-rows.ts'
import { type ProposedImport, proposeKept } from './propose-import.ts'
import { toldOfRecord } from './record-schemas.ts'
import { toldOfTable } from './table-schemas.ts'

/** What an import still waiting proposes, with what is told of it now beside what was told before. */
export async function proposalOf(
  db: Db,
  act: Act,
  batch: ImportBatch,
  told: object = {},
): Promise<{ readonly proposal: ProposedImport | null; readonly earlier: EarlierImport | null }> {
  if (batch.state !== 'proposed') return { proposal: null, earlier: null }
  const bytes = await readImportedFile(db, batch.fileSha256)
  const proposal = await proposeKept(db, act, bytes, batch.propertyId, withTold(batch.reading, told))
  return { proposal, earlier: await earlierImport(db, batch.fileSha256, batch.kind, batch.id) }
}

function withTold(kept: KeptReading, told: object): KeptReading {
  const read = toldSchemas[kept.kind].safeParse(told)
  if (!read.success)
    throw problem(
      422,
      'invalid',
      'What was told does not fit this kind of import.',
      read.error.issues.map(issue => ({
        pointer: `/told/${issue.path.join('/')}`,
        code: 'invalid',
        detail: issue.message,
      })),
    )
  if (kept.kind === 'monitor-record') return { ...kept, told: { ...kept.told, ...told } }
  if (kept.kind === 'homes-table') return { ...kept, told: withToldHomes(kept.told, told) }
  const constants = { ...kept.told.constants, ...(told as typeof kept.told).constants }
  return { ...kept, told: { ...kept.told, ...told, constants } }
}

const toldSchemas = { 'monitor-record': toldOfRecord, 'results-table': toldOfTable, 'homes-table': toldOfHomes }

/** Each pair that is decided stays decided while others are told. */
const withToldHomes = (before: ToldHomes, told: ToldHomes): ToldHomes => ({
  ...before,
  ...told,
  constants: { ...before.constants, ...told.constants },
  doubles: { ...before.doubles, ...told.doubles },
})
