import type { Standing, VerdictOutcome } from '../../domain/answers.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { LocalDay } from '../../domain/facts.ts'
import { RecordChart } from '../../web/chart/record-chart.tsx'
import type { RecordFacts } from '../../web/chart/record-facts.ts'
import { distanceWords, weekdayWords } from '../../web/day-words.ts'
import { becauseWords, owedWords } from '../../web/owed-words.ts'
import { QuantityText } from '../../web/quantity-text.tsx'
import { SectionDrawing } from '../../web/section/section-drawing.tsx'
import type { SectionFacts } from '../../web/section/section-facts.ts'
import { VerdictMark } from '../../web/verdict-mark.tsx'
import { WorkingView } from '../../web/working-view.tsx'
import { type FormsProps, ReportForms } from './forms-view.tsx'
import { LicensedProfessionals } from './professionals-view.tsx'

export type HomeViewProps = FormsProps & {
  readonly standing: Standing | null
  readonly section: SectionFacts
  readonly record: RecordFacts | null
  readonly today: LocalDay
}

/** What a homeowner reads: what was found, what it means, what is due, whom to ask, and what they can tell. */
export function HomeView(props: HomeViewProps): JSX.Element {
  const { link, standing, section, record, today } = props
  return (
    <>
      <h1>Radon in your home</h1>
      {standing ? <Found standing={standing} /> : <p>No test of your home is on record yet.</p>}
      {standing ? <Next standing={standing} today={today} /> : ''}
      <section>
        <h2>Your house in section</h2>
        <SectionDrawing facts={section} home={link.address} />
      </section>
      {record ? (
        <section>
          <h2>The last record, hour by hour</h2>
          <RecordChart facts={record} />
        </section>
      ) : (
        ''
      )}
      <ReportForms {...props} />
      <LicensedProfessionals link={link} />
    </>
  )
}

const meaning: Record<VerdictOutcome, string> = {
  below:
    'That is what was measured then, in each tested location. Radon changes with season, weather and the house, so it is measured again from time to time.',
  'at-or-above':
    'The guidance named under “Why?” asks for the radon to be lowered. What is due, and by when, stands below.',
  'needs-follow-up': 'One test is not the last word: a second one tells whether the radon has to be lowered.',
  disagreement: 'The results lie too far apart to be averaged. A further test is needed before anything is decided.',
  undetermined: '',
}

const Found = ({ standing }: { standing: Standing }): JSX.Element => {
  const { verdict, tests, zone } = standing
  const last = tests.find(test => verdict.testIds.includes(test.testId))
  return (
    <section>
      <h2>What was found</h2>
      <p class="standing-verdict">
        <VerdictMark {...verdict} />
      </p>
      {verdict.compared && verdict.outcome !== 'undetermined' ? (
        <p>
          The figure held against the level: <QuantityText {...verdict.compared} />
          {last?.stopAt ? (
            <span safe>{`, of the test that ended on ${weekdayWords(localDayOf(last.stopAt, zone))}`}</span>
          ) : (
            ''
          )}
          .
        </p>
      ) : (
        ''
      )}
      <p safe>
        {verdict.outcome === 'undetermined' && verdict.settledBy
          ? `What would settle it: ${verdict.settledBy}`
          : meaning[verdict.outcome]}
      </p>
      <WorkingView working={verdict.working} />
    </section>
  )
}

const Next = ({ standing, today }: { standing: Standing; today: LocalDay }): JSX.Element => {
  const owed = standing.obligations.filter(one => one.owedBy === 'homeowner')
  return (
    <section>
      <h2>What is due next</h2>
      {owed.length === 0 ? <p>Nothing is due from you at present.</p> : ''}
      {owed.map(one => (
        <p>
          <strong safe>{owedWords(one, today)}</strong>{' '}
          <span
            safe
          >{`That ${one.dueOn < today ? 'was' : 'is'} ${distanceWords(one.dueOn, today)}. ${becauseWords(one)}`}</span>
        </p>
      ))}
    </section>
  )
}
