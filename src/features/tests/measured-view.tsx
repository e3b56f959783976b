import type { EvaluatedTest } from '../../domain/answers.ts'
import { paths } from '../../web/paths.ts'
import { QuantityText } from '../../web/quantity-text.tsx'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import { WorkingView } from '../../web/working-view.tsx'
import type { TestDevice } from './page-queries.ts'
import type { TestRow } from './rows.ts'

export type MeasuredProps = {
  readonly test: TestRow
  readonly evaluated: EvaluatedTest | null
  readonly devices: readonly TestDevice[]
}

/** What each device measured where, and how its result came about. */
export function Measured({ test, evaluated, devices }: MeasuredProps): JSX.Element {
  const answers = new Map((evaluated?.exposures ?? []).map(answer => [answer.exposureId, answer]))
  const rows = test.exposures.map(exposure => {
    const answer = answers.get(exposure.id)
    return [
      <Text of={exposure.locationName ?? 'location not recorded'} />,
      answer?.result ? <QuantityText {...answer.result} uncertainty={answer.uncertainty} /> : <Text of="not in yet" />,
      exposure.startAt === null ? <Text of="not known" /> : <InstantText at={exposure.startAt} zone={test.zone} />,
      exposure.stopAt === null ? <Text of="not yet" /> : <InstantText at={exposure.stopAt} zone={test.zone} />,
      <MeasuredBy kit={exposure.kitNumber} device={devices.find(({ id }) => id === exposure.deviceId)} />,
    ]
  })
  const columns = ['Where', 'Result', 'From', 'To', 'Device'].map(words => ({ words }))
  return (
    <section>
      <h2>What was measured</h2>
      <Table caption="Results by location" quietCaption columns={columns} rows={rows} />
      {[...answers.values()].map(answer => (answer.working ? <WorkingView working={answer.working} /> : ''))}
    </section>
  )
}

const MeasuredBy = ({ kit, device }: { kit: string | null; device: TestDevice | undefined }): JSX.Element => (
  <>
    {kit === null ? '' : <span safe>{device ? `${kit}, ` : kit}</span>}
    {device ? (
      <a href={paths.device(device.id)} safe>
        {device.name}
      </a>
    ) : (
      ''
    )}
  </>
)
