import { localDayOf } from '../../domain/calendar/local-day.ts'
import { weekdayWords } from '../day-words.ts'
import { clockWords } from '../instant-words.ts'
import { unitWords } from '../quantity-text.tsx'
import { Table, Text } from '../table.tsx'
import { leftOutWords, type RecordFacts } from './record-facts.ts'
import type { Reading } from './record-readings.ts'

const mostRows = 400

/** The readings as drawn; a record of more than 400 is told by the day. */
export function RecordTable({ facts, readings }: { facts: RecordFacts; readings: readonly Reading[] }): JSX.Element {
  const unit = unitWords(facts.series.unit)
  if (readings.length > mostRows) return <DayTable facts={facts} readings={readings} unit={unit} />
  const reasonOf = ({ from, to }: Reading) => facts.leftOut.find(part => part.from < to && from < part.to)
  const rows = readings.map(reading => {
    const reason = reasonOf(reading)
    const { from, text } = reading
    return [
      <Text of={`${weekdayWords(localDayOf(from, facts.zone))}, ${clockWords(from, facts.zone)}`} />,
      <Text of={text} />,
      <Text of={reason ? `left out: ${leftOutWords[reason.why]}` : 'used'} />,
    ]
  })
  const columns = [{ words: 'From' }, { words: `Radon, ${unit}`, numeric: true }, { words: 'In the mean' }]
  return <Table caption="The readings" columns={columns} rows={rows} scrolls />
}

type DayTableProps = { facts: RecordFacts; readings: readonly Reading[]; unit: string }

function DayTable({ facts, readings, unit }: DayTableProps): JSX.Element {
  const days = new Map<string, Reading[]>()
  for (const reading of readings) {
    const day = localDayOf(reading.from, facts.zone)
    days.set(day, [...(days.get(day) ?? []), reading])
  }
  const rows = [...days].map(([day, list]) => {
    const measured = list.filter(each => each.value !== null).sort((a, b) => a.value! - b.value!)
    return [
      <Text of={weekdayWords(day)} />,
      <Text of={measured[0]?.text ?? '–'} />,
      <Text of={measured[measured.length - 1]?.text ?? '–'} />,
      <Text of={`${measured.length} of ${list.length}`} />,
    ]
  })
  const columns = ['Day', `Lowest, ${unit}`, `Highest, ${unit}`, 'Readings'].map((words, index) => ({
    words,
    numeric: index > 0,
  }))
  return <Table caption="The readings by the day" columns={columns} rows={rows} scrolls />
}
