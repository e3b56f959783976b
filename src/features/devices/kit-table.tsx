import { kitStateOf } from '../../domain/devices/kit-facts.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { DayText } from '../../web/when-text.tsx'
import type { KitLine } from './chase-queries.ts'
import { kitStateWords } from './words.ts'

/** Kits by number: with whom, since when, and how far each has come. */
export const KitTable = (props: {
  kits: readonly KitLine[]
  today: LocalDay
  /** Leaves the home out, where all are of one. */
  ofHome?: boolean
  empty: string
}): JSX.Element => {
  const { kits, today, ofHome = false, empty } = props
  if (kits.length === 0) return <Empty text={empty} />
  const columns = ['Number', ...(ofHome ? ['Lot'] : ['Home']), 'With', 'Left', 'In place', 'Posted', 'How far']
  return (
    <Table
      caption={`${kits.length} ${kits.length === 1 ? 'kit' : 'kits'}, left last first`}
      columns={columns.map(words => ({ words }))}
      rows={kits.map(kit => [
        <a href={kit.id === null ? paths.test(kit.testId!) : paths.kit(kit.id)} safe>
          {kit.number}
        </a>,
        ofHome ? (
          <a href={paths.device(kit.deviceId)} safe>
            {kit.lotName}
          </a>
        ) : (
          <a href={paths.home(kit.propertyId)} safe>
            {kit.address}
          </a>
        ),
        kit.person === null ? <span class="unknown">not known</span> : <Text of={kit.person} />,
        <DayText day={kit.leftOn} today={today} />,
        <InPlace kit={kit} today={today} />,
        kit.postedOn === null ? <span class="unknown">no</span> : <DayText day={kit.postedOn} today={today} />,
        <Text of={kitStateWords[kitStateOf(kit)]} />,
      ])}
    />
  )
}

const InPlace = ({ kit, today }: { kit: KitLine; today: LocalDay }): JSX.Element => {
  if (kit.exposedFrom === null) return <span class="unknown">no dates</span>
  return (
    <span>
      <DayText day={kit.exposedFrom} today={today} />
      {kit.exposedTo === null ? (
        ' on'
      ) : (
        <span>
          {' '}
          to <DayText day={kit.exposedTo} today={today} />
        </span>
      )}
    </span>
  )
}
