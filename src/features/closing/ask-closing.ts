import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { ClosingAnswer } from '../../domain/closing/closing-answer.ts'
import { closingOf } from '../../domain/closing/closing-of.ts'
import type { ClosingAsk, ClosingMethod, ClosingQuestion, CrewTime } from '../../domain/closing/closing-question.ts'
import type { HomeFacts, Instant } from '../../domain/facts.ts'
import { lastFanStart, notYetStarted, offWithin } from '../../domain/measurement/fan-history.ts'
import { resolvePolicy } from '../../domain/policy/resolve-policy.ts'
import type { Db } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound, problem } from '../../platform/http/problem.ts'
import { loadHomes } from '../../standing/load-facts.ts'
import { policiesOf } from '../../standing/load-policies.ts'
import { seenHome } from '../../standing/seen-home.ts'
import {
  type ClosingHome,
  type CrewVisits,
  closingHome,
  crewVisits,
  freeDevices,
  type OfficeFacts,
  officeFacts,
  visitsUnassigned,
} from './queries.ts'

export type Asked = { readonly asks: ClosingAsk; readonly method: ClosingMethod; readonly deadline: Instant | null }
export type Answered = {
  readonly answer: ClosingAnswer
  readonly question: ClosingQuestion
  readonly home: ClosingHome
  readonly cautionAdded: string
}

const dayMs = 86_400_000
const farthest = 366 * dayMs

/** Reckons a closing for a home from its facts, its law, the company's hours and what is planned already. */
export async function askClosing(
  db: Db,
  who: Pick<Act, 'actor' | 'now'>,
  propertyId: string,
  asked: Asked,
): Promise<Answered> {
  await seenHome(db, who, propertyId)
  const { now } = who
  const { deadline, method } = asked
  if (deadline !== null && deadline > now + farthest)
    throw problem(422, 'impossible', 'Nobody plans so far ahead.', [
      { pointer: '/deadline', code: 'out-of-range', detail: 'This is more than a year away: give a nearer one' },
    ])
  if (deadline !== null && deadline <= now)
    throw problem(422, 'impossible', 'Nothing can be done by a time that has passed.', [
      { pointer: '/deadline', code: 'out-of-range', detail: 'This has passed already: give a time to come' },
    ])
  const until = Math.max(now, deadline ?? now) + 120 * dayMs
  // One after the other: a transaction has one connection.
  const home = await closingHome(db, propertyId)
  const office = await officeFacts(db)
  const crews = await crewVisits(db, now, until)
  const devices = await freeDevices(db, method, now)
  const unassigned = await visitsUnassigned(db, now, deadline ?? until)
  const loaded = await loadHomes(db, [propertyId])
  const facts = loaded.homes[0]?.facts
  if (!facts) throw notFound('property')
  const law = resolvePolicy(await policiesOf(db, loaded.rules), facts, localDayOf(now, facts.zone))
  const { zone, week, holidays, ...durations } = office
  const question: ClosingQuestion = {
    ...asked,
    ...{ now, law, durations, devices, zone: facts.zone },
    ...fanOf(facts, now),
    hours: { zone, week, holidays },
    crews: crews.map(crew => crewTime(crew, office)),
  }
  const answer = closingOf(question)
  const notes = unassigned === 0 ? answer.notes : [...answer.notes, unassignedWords(unassigned)]
  return { answer: { ...answer, notes }, question, home, cautionAdded: office.cautionAdded }
}

const unassignedWords = (visits: number) =>
  visits === 1
    ? 'One visit of this time is nobody’s yet; it is not reckoned with.'
    : `${visits} visits of this time are nobody’s yet; they are not reckoned with.`

// A fan that is off today says nothing of how long one will have run.
function fanOf({ systems, zone }: HomeFacts, now: Instant): Pick<ClosingQuestion, 'mitigated' | 'fanStart'> {
  const running = systems.filter(system => system.active && !notYetStarted(system, now, zone))
  const off = offWithin(running, now - 1, now, zone) !== null
  return { mitigated: running.length > 0, fanStart: off ? null : lastFanStart(running, now, zone) }
}

function crewTime({ id, name, visits }: CrewVisits, office: OfficeFacts): CrewTime {
  const minutes: Readonly<Record<string, number>> = {
    installation: office.installMinutes,
    'set-device': office.setMinutes,
    'pick-up-device': office.pickUpMinutes,
  }
  const lasting = (purpose: string) => (minutes[purpose] ?? office.otherVisitMinutes) * 60_000
  return {
    id,
    name,
    busy: visits.map(({ from, until, purpose }) => ({ from, until: until ?? from + lasting(purpose) })),
  }
}
