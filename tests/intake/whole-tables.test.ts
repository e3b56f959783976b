import { expect, it } from 'vitest'
import { proposeHomes, type ToldHomes } from '../../src/intake/homes-table/propose-homes.ts'
import { openSheets } from '../../src/intake/table/open-sheets.ts'

/** As many homes as are read at once; each date's day is past the twelfth two times in three. */
const rows = 100_000
const table = Buffer.from(
  `Address,City,State,Zip,Installed\n${Array.from({ length: rows }, (_, i) => `${i + 1} Elm St,Duluth,MN,55802,4/${[5, 15, 25][i % 3]}/2014`).join('\n')}`,
)

async function asked(told: ToldHomes) {
  const file = await openSheets(table)
  if (!file.ok) throw new Error(file.fault.problem)
  const proposed = proposeHomes(file.opened, told)
  if (!proposed.ok) throw new Error(JSON.stringify(proposed.faults))
  return { order: proposed.reading.dateOrder, questions: proposed.questions }
}

it('dates that are all month first are read so', async () => {
  expect(await asked({})).toEqual({ order: 'mdy', questions: [] })
})

it('an order that none of 100,000 rows bears out is told once, not row by row', async () => {
  const { questions } = await asked({ dateOrder: 'dmy' })
  expect(questions).toEqual([
    {
      part: 'dateOrder',
      text: 'You said that the day comes first, but 66666 dates can only be month first (rows 3, 4, 6, 7, 9 and others) and none only day first. Which holds?',
    },
  ])
})
