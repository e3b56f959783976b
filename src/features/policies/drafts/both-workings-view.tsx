import type { Standing } from '../../../domain/answers.ts'
import { VerdictMark } from '../../../web/verdict-mark.tsx'
import { WorkingSheet } from '../../../web/working-view.tsx'

/** One home under the rules as they are and as they would be: verdict and duties with their workings, side by side. */
export const BothWorkings = ({ before, after }: { before: Standing; after: Standing }): JSX.Element => (
  <>
    <div class="side-by-side">
      <Side title="As the rules are" standing={before} />
      <Side title="As they would be" standing={after} />
    </div>
  </>
)

const Side = ({ title, standing }: { title: string; standing: Standing }): JSX.Element => (
  <section>
    <h2 safe>{title}</h2>
    <VerdictMark {...standing.verdict} />
    <WorkingSheet working={standing.verdict.working} />
    {standing.obligations.map(({ working }) => (
      <>
        <h3 safe>{working.title}</h3>
        <WorkingSheet working={working} />
      </>
    ))}
  </section>
)
