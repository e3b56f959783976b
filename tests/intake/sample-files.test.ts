import { readFile } from 'node:fs/promises'
import { expect, it } from 'vitest'
import { writeMonitorFile } from '../../seed/monitor-files.ts'
import { samples } from '../../seed/samples/samples.ts'
import { proposeReading } from '../../src/intake/monitor-file/propose-reading.ts'

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
