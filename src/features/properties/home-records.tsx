import type { EvaluatedTest, LevelRef, Standing } from '../../domain/answers.ts'
import type { SeriesFacts } from '../../domain/facts.ts'
import { RecordChart } from '../../web/chart/record-chart.tsx'
import { paths } from '../../web/paths.ts'

/** How many of the newest records are drawn on a home's page; the others are one tap away. */
const drawn = 2

/** The exposures whose records are drawn: those of the newest tests that have one. */
export const recordsToDraw = (tests: readonly EvaluatedTest[]): string[] =>
  tests
    .flatMap(test => test.exposures)
    .filter(exposure => exposure.fromSeries)
    .slice(0, drawn)
    .map(exposure => exposure.exposureId)

type RecordsProps = {
  readonly standing: Standing
  readonly records: ReadonlyMap<string, SeriesFacts>
  readonly level: LevelRef | null
}

/** The newest monitor records, hour by hour, the level drawn in. */
export function HomeRecords({ standing, records, level }: RecordsProps): JSX.Element {
  const shown = standing.tests.flatMap(test => test.exposures.map(exposure => ({ test, exposure })))
  return (
    <section id="records">
      <h2>Records</h2>
      <div class="home-columns">
        {shown.map(({ test, exposure }) => {
          const series = records.get(exposure.exposureId)
          if (!series) return ''
          const facts = {
            series,
            zone: standing.zone,
            room: exposure.locationName,
            level,
            rule: standing.verdict.working.rule,
            leftOut: exposure.leftOut,
            mean: exposure.result?.value ?? null,
            usableFrom: exposure.usableFrom,
            usableTo: exposure.usableTo,
          }
          return (
            <div>
              <RecordChart facts={facts} id={`record-${exposure.exposureId}`} />
              <p>
                <a href={paths.test(test.testId)}>The test with its findings</a>
              </p>
            </div>
          )
        })}
      </div>
    </section>
  )
}
