import type { FastifyReply, FastifyRequest } from 'fastify'
import { localDayOf } from '../domain/calendar/local-day.ts'
import { type TestChoices, testChoices } from '../features/tests/page-queries.ts'
import { hasRole } from '../platform/auth/actor.ts'
import { formKey, page } from '../platform/http/forms.ts'
import { act } from '../platform/http/request-facts.ts'
import { instantText } from '../platform/http/scalars.ts'
import { levelInForce } from '../standing/level-in-force.ts'
import { type PageFacts, pageFacts } from '../standing/page-facts.ts'
import { weekdayWords } from '../web/day-words.ts'
import type { FieldFault } from '../web/error-summary.tsx'
import { Frame } from '../web/frame.tsx'
import type { TypedFields } from '../web/typed-fields.ts'
import { waitingRecords } from './home-queries.ts'
import { type Held, heldReminders } from './homes-table/made-queries.ts'
import { readProgress } from './import-progress.ts'
import { type EarlierImport, readImport } from './import-queries.ts'
import type { ImportBatch } from './import-rows.ts'
import type { ReadingPart } from './monitor-file/reading.ts'
import type { ProposedImport } from './propose-import.ts'
import { proposalOf } from './read-import.ts'
import { DoneView } from './view/done-view.tsx'
import { HomesImportView, HomesProgressView } from './view/homes-import-view.tsx'
import { RecordImportView } from './view/record-import-view.tsx'
import type { TargetFormProps } from './view/record-target-form.tsx'
import { TableImportView } from './view/table-import-view.tsx'

type Shown = {
  readonly id: string
  readonly open?: ReadingPart | null
  readonly typed?: TypedFields
  readonly faults?: readonly FieldFault[]
}

/** The page of one import, as far as it has come. */
export async function importPage(request: FastifyRequest, reply: FastifyReply, shown: Shown) {
  const who = act(request)
  const { db } = request.deps
  const facts = await pageFacts(request)
  const batch = await readImport(db, who, shown.id)
  const { proposal, earlier } = await proposalOf(db, who, batch)
  const home = batch.propertyId ? await testChoices(db, who, batch.propertyId) : null
  const faulty = (shown.faults ?? []).length > 0
  if (faulty) reply.code(422)
  // Looks again by itself, without a script.
  if (batch.state === 'committing') reply.header('refresh', '2')
  const safeView = await viewOf(request, { shown, facts, batch, proposal, home, earlier })
  return page(
    reply,
    <Frame {...facts.frame} title="Import" home={home?.address} place="homes" faulty={faulty} wide>
      {safeView}
    </Frame>,
  )
}

type Parts = {
  readonly shown: Shown
  readonly facts: PageFacts
  readonly batch: ImportBatch
  readonly proposal: ProposedImport | null
  readonly home: TestChoices | null
  readonly earlier: EarlierImport | null
}

async function viewOf(
  request: FastifyRequest,
  { shown, facts, batch, proposal, home, earlier }: Parts,
): Promise<JSX.Element> {
  const zone = home?.zone ?? facts.zone
  const { id, version, fileName } = batch
  const { csrf } = facts.frame
  if (batch.state === 'committing') {
    const progress = await readProgress(request.deps.db, id)
    const stuck = request.now - (progress?.at ?? 0) > STUCK_AFTER
    return <HomesProgressView {...{ id, version, fileName, csrf, progress, stuck }} />
  }
  if (!proposal) {
    const mayPutRight = hasRole(act(request).actor, 'owner', 'office')
    return <DoneView {...{ batch, zone, csrf, mayPutRight }} held={await heldBy(request, batch)} />
  }
  const alreadySaid = earlier ? `Already imported on ${instantText(earlier.committedAt).slice(0, 10)}.` : null
  if (proposal.kind === 'results-table')
    return <TableImportView {...{ id, version, fileName, csrf, alreadySaid, ...proposal }} formKey={formKey()} />
  if (proposal.kind === 'homes-table') {
    const { failure } = batch
    const faults = shown.faults ?? []
    return (
      <HomesImportView
        {...{ id, version, fileName, csrf, alreadySaid, failure, faults, ...proposal }}
        formKey={formKey()}
      />
    )
  }
  const target = home ? await targetOf(request, { shown, batch, home, csrf, alreadySaid }) : null
  const level = home ? await levelInForce(request.deps.db, home.id, request.now) : null
  return (
    <RecordImportView
      {...{ id, version, fileName, csrf, zone, level, target }}
      proposed={proposal.proposed}
      open={shown.open ?? null}
    />
  )
}

/** A run that has told nothing for so long has died: another may begin. */
const STUCK_AFTER = 60_000

const heldBy = (request: FastifyRequest, batch: ImportBatch): Promise<Held> | null =>
  batch.kind === 'homes-table' ? heldReminders(request.deps.db, batch.id, request.now) : null

async function targetOf(
  request: FastifyRequest,
  {
    shown,
    batch,
    home,
    csrf,
    alreadySaid,
  }: { shown: Shown; batch: ImportBatch; home: TestChoices; csrf: string; alreadySaid: string | null },
): Promise<TargetFormProps> {
  const waiting = (await waitingRecords(request.deps.db, home.id)).map(({ exposureId, place, setAt }) => ({
    exposureId,
    words: `The monitor set in ${place}${setAt === null ? '' : ` on ${weekdayWords(localDayOf(setAt, home.zone))}`}`,
  }))
  const { typed = {}, faults = [] } = shown
  return { importId: batch.id, home, waiting, typed, faults, csrf, formKey: formKey(), alreadySaid }
}
