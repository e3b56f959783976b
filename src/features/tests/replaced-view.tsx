import { paths } from '../../web/paths.ts'
import { quantityWords, unitWords } from '../../web/quantity-text.tsx'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import type { ReplacedExposure } from './reading-queries.ts'

type Props = {
  readonly replaced: readonly ReplacedExposure[]
  readonly zone: string
  /** Whether this person may see what was put right. */
  readonly mayPutRight: boolean
}

/** What the test held and holds no more, struck through; nothing where nothing was replaced. */
export function Replaced({ replaced, zone, mayPutRight }: Props): JSX.Element | string {
  if (replaced.length === 0) return ''
  const rows = replaced.map(one => [
    <del safe>{`${one.room ?? 'location not recorded'}: ${resultWords(one)}`}</del>,
    <del>{one.startAt === null ? 'not known' : <InstantText at={one.startAt} zone={zone} />}</del>,
    <del>{one.stopAt === null ? 'not known' : <InstantText at={one.stopAt} zone={zone} />}</del>,
    <InstantText at={one.voidedAt} zone={zone} />,
    one.correctionId && mayPutRight ? <a href={paths.correction(one.correctionId)}>Why</a> : <Text of="put right" />,
  ])
  const columns = ['Result', 'From', 'To', 'Struck through', 'Because'].map(words => ({ words }))
  return (
    <section>
      <h2>What it said before</h2>
      <p class="hint">None of this counts: the file was read again.</p>
      <Table caption="Results that were struck through" quietCaption columns={columns} rows={rows} />
    </section>
  )
}

function resultWords({ value, unit, qualifier, uncertainty, readings, recordUnit }: ReplacedExposure): string {
  if (readings !== null && recordUnit !== null) return `a record of ${readings} readings in ${unitWords(recordUnit)}`
  return value === null || unit === null ? 'no result' : quantityWords({ value, unit, qualifier, uncertainty })
}
