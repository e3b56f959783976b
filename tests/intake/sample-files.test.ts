import { readFile } from 'node:fs/promises'
import { expect, it } from 'vitest'
import { writeMonitorFile } from '../../seed/monitor-files.ts'
import { samples } from '../../seed/samples/samples.ts'
import { pairsWithinSteps } from '../../src/intake/homes-table/find-doubles.ts'
import { proposeHomes } from '../../src/intake/homes-table/propose-homes.ts'
import { proposeReading } from '../../src/intake/monitor-file/propose-reading.ts'
import { finished } from '../../src/intake/monitor-file/steps.ts'
import { openSheets } from '../../src/intake/table/open-sheets.ts'
import { gatherHomes, homesOf, readHomes } from '../support/read-homes.ts'

const committed = (name: string) => readFile(new URL(`../../seed/samples/${name}`, import.meta.url))

it.each(samples)('$name is committed as its sample is written', async ({ name, series, dialect }) => {
  expect((await committed(name)).equals(writeMonitorFile(series, dialect))).toBe(true)
})

it.each(samples.slice(0, 3))(
  '$name is read back without a question, value for value',
  async ({ name, series, dialect }) => {
    const zone = 'zone' in dialect.clock ? dialect.clock.zone : 'UTC'
    const proposed = proposeReading(await committed(name), { zone, told: {} })
    expect(proposed).toMatchObject({
      ok: true,
      questions: [],
      faultCount: 0,
      record: { series: { startAt: series.startAt, intervalS: 3600, unit: series.unit, values: series.values } },
    })
  },
)

it('asks-two-questions.csv asks for the order of day and month and for the unit', async () => {
  const proposed = proposeReading(await committed('asks-two-questions.csv'), { zone: 'America/Chicago', told: {} })
  expect(proposed.ok && proposed.questions.map(({ part }) => part).sort()).toEqual(['dateOrder', 'unit'])
})

it('old-homes.csv asks nothing, has one bad row, one pair that may be one home, and says one home twice', async () => {
  const file = await openSheets(await committed('old-homes.csv'))
  const proposed = file.ok ? proposeHomes(file.opened) : null
  if (!file.ok || !proposed?.ok) throw new Error('the sample is not read')
  expect(proposed.questions).toEqual([])
  const read = readHomes(file.opened, proposed.reading, { companyName: '', today: '2026-11-27' })
  expect(read.faults).toMatchObject([{ line: 10, problem: 'names two homes' }])
  const homes = gatherHomes(read.homes)
  expect(homes.map(({ rows }) => rows.map(({ line }) => line))).toEqual([[3], [4, 5], [6], [7], [8]])
  expect(finished(pairsWithinSteps(homesOf(read.homes).all(), {}))).toMatchObject([
    { why: 'the streets differ by a letter or two' },
  ])
})
