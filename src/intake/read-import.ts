import type { Db } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import { toldOfHomes } from './homes-schemas.ts'
import { isFresh, keptLookOf } from './homes-table/kept-look.ts'
import type { ToldHomes } from './homes-table/propose-homes.ts'
import { type EarlierImport, earlierImport, importsSettled, keepLook, readImportedFile } from './import-queries.ts'
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
  const nothing = Object.keys(told).length === 0
  const kept = nothing ? await keptProposal(db, act, batch) : null
  const proposal = kept ?? (await proposedAnew(db, act, batch, told))
  if (nothing && !kept) await keepSeen(db, act, batch, proposal)
  return { proposal, earlier: await earlierImport(db, batch.fileSha256, batch.kind, batch.id) }
}

/** What an import proposes, read off its file and held against the record now. */
export async function proposedAnew(db: Db, act: Act, batch: ImportBatch, told: object = {}): Promise<ProposedImport> {
  const bytes = await readImportedFile(db, batch.fileSha256)
  return proposeKept(db, act, bytes, batch.propertyId, withTold(batch.reading, told))
}

/** What was seen of a table of homes when it was last compared, while that may still be shown. */
async function keptProposal(db: Db, { now }: Act, { reading }: ImportBatch): Promise<ProposedImport | null> {
  if (reading.kind !== 'homes-table' || !reading.look) return null
  const { look, told } = reading
  const { proposed, dryRun, imports } = look
  if (!isFresh(look, now, await importsSettled(db))) return null
  return { kind: 'homes-table', told, imports, proposed, dryRun }
}

async function keepSeen(db: Db, { now }: Act, batch: ImportBatch, proposal: ProposedImport): Promise<void> {
  if (proposal.kind !== 'homes-table') return
  const look = keptLookOf(proposal.proposed, proposal.dryRun, now, proposal.imports)
  if (look) await keepLook(db, batch, look)
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
