import type { LevelRef } from '../../domain/answers.ts'
import { RecordChart } from '../../web/chart/record-chart.tsx'
import { paths } from '../../web/paths.ts'
import { thinned } from '../monitor-file/preview-rows.ts'
import type { Proposed } from '../monitor-file/propose-reading.ts'
import type { ReadingPart } from '../monitor-file/reading.ts'
import { FaultTable, FirstRows } from './fault-table.tsx'
import { RecordTargetForm, type TargetFormProps } from './record-target-form.tsx'
import { AssumedList, SentenceText } from './sentence-text.tsx'
import { TellForm } from './tell-form.tsx'

export type RecordImportProps = {
  readonly id: string
  readonly version: number
  readonly fileName: string
  readonly csrf: string
  readonly zone: string
  /** The level where the home stands; null while none is told. */
  readonly level: LevelRef | null
  readonly proposed: Proposed
  /** The part whose choices are open. */
  readonly open: ReadingPart | null
  /** null while no home is told. */
  readonly target: TargetFormProps | null
}

/** More readings than this are thinned for the picture. */
const DRAWN = 600

/** A monitor's file read back: sentence, questions, picture, first rows; then where it belongs. */
export function RecordImportView(props: RecordImportProps): JSX.Element {
  const { proposed, fileName } = props
  return (
    <>
      <h1 safe>{`Import ${fileName}`}</h1>
      {proposed.ok ? (
        <Read {...props} proposed={proposed} />
      ) : (
        <FaultTable faults={proposed.faults} count={proposed.faults.length} />
      )}
    </>
  )
}

function Read(props: RecordImportProps & { proposed: Extract<Proposed, { ok: true }> }): JSX.Element {
  const { id, version, csrf, zone, level, proposed, open, target } = props
  const { reading, questions, how, notes, faults, faultCount, preview, record } = proposed
  const tell = { importId: id, version, csrf, reading, zone }
  const asksFor = questions.some(({ part }) => part === open)
  return (
    <>
      <SentenceText importId={id} sentence={proposed.sentence} />
      {open && !asksFor ? <TellForm {...tell} part={open} /> : ''}
      {questions.map(question => (
        <TellForm {...tell} part={question.part} question={question} />
      ))}
      <AssumedList how={how} />
      {notes.map(note => (
        <p class="hint" safe>
          {note}
        </p>
      ))}
      {faultCount > 0 ? <FaultTable faults={faults} count={faultCount} /> : ''}
      {record ? (
        <RecordChart
          facts={{
            ...{ zone, level, rule: null, leftOut: [], mean: null, usableFrom: null, usableTo: null },
            series: thinned(record.series, DRAWN),
            room: 'the record as read',
          }}
        />
      ) : (
        ''
      )}
      <FirstRows names={reading.columns.map(({ name }) => name)} preview={preview} />
      <Place ready={questions.length === 0 && faultCount === 0} target={target} />
    </>
  )
}

function Place({ ready, target }: { ready: boolean; target: TargetFormProps | null }): JSX.Element {
  if (!ready)
    return (
      <p class="empty">Nothing is saved yet. It can be saved once every question is answered and every line reads.</p>
    )
  if (!target)
    return (
      <p class="empty">
        This file belongs to no home yet. <a href={paths.newImport()}>Choose the home, then upload it there.</a>
      </p>
    )
  return (
    <section>
      <h2>Save it</h2>
      <RecordTargetForm {...target} />
    </section>
  )
}
