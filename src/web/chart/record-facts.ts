import type { LeftOut, LevelRef, RuleRef } from '../../domain/answers.ts'
import type { Instant, SeriesFacts } from '../../domain/facts.ts'

/** A monitor's record as it is drawn. */
export type RecordFacts = {
  readonly series: SeriesFacts
  /** IANA zone of the home: days and hours are those of its clock. */
  readonly zone: string
  /** The room it stood in. */
  readonly room: string
  readonly level: LevelRef | null
  readonly rule: RuleRef | null
  readonly leftOut: readonly LeftOut[]
  /** The mean of the hours used, as it was reckoned: decimal text in the record's unit. */
  readonly mean: string | null
  readonly usableFrom: Instant | null
  readonly usableTo: Instant | null
}

export const leftOutWords: Record<LeftOut['why'], string> = {
  equilibrium: 'first hours, while room and device settle',
  'closed-building': 'the house was not closed up long enough',
  'fan-start': 'the fan had not run long enough',
  gap: 'readings are missing',
  'outside-longest-run': 'outside the longest unbroken run',
  'not-in-place': 'the device was not in its place',
}
