import type { Standing } from '../domain/answers.ts'
import type { Instant } from '../domain/facts.ts'
import { readHistory } from '../features/properties/home-history.ts'
import { readProperty } from '../features/properties/queries.ts'
import { readRecords } from '../features/properties/record-queries.ts'
import { sectionOfHome } from '../features/properties/section-of-home.ts'
import type { Db } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { levelInForce } from '../standing/level-in-force.ts'
import type { RecordFacts } from '../web/chart/record-facts.ts'
import type { SectionFacts } from '../web/section/section-facts.ts'

export type HomeDrawn = { readonly section: SectionFacts; readonly record: RecordFacts | null }

/** A home's section and the newest record of a valid test, for the page its owner opens. */
export async function drawHome(
  db: Db,
  who: Pick<Act, 'actor' | 'now'>,
  propertyId: string,
  standing: Standing | null,
): Promise<HomeDrawn> {
  const [home, history] = await Promise.all([readProperty(db, who, propertyId), readHistory(db, propertyId)])
  const section = sectionOfHome(home, history.systems, standing?.tests ?? [])
  return { section, record: standing ? await newestRecord(db, standing, who.now) : null }
}

async function newestRecord(db: Db, standing: Standing, now: Instant): Promise<RecordFacts | null> {
  const exposure = standing.tests
    .filter(test => test.validity !== 'invalid')
    .flatMap(test => test.exposures)
    .find(one => one.fromSeries)
  const series = exposure && (await readRecords(db, [exposure.exposureId])).get(exposure.exposureId)
  if (!exposure || !series) return null
  return {
    series,
    zone: standing.zone,
    room: exposure.locationName,
    level: standing.verdict.level ?? (await levelInForce(db, standing.propertyId, now)),
    rule: standing.verdict.working.rule,
    leftOut: exposure.leftOut,
    mean: exposure.result?.value ?? null,
    usableFrom: exposure.usableFrom,
    usableTo: exposure.usableTo,
  }
}
