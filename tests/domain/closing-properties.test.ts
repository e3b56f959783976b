import fc from 'fast-check'
import { DateTime } from 'luxon'
import { expect, it } from 'vitest'
import { closingOf } from '../../src/domain/closing/closing-of.ts'
import type { ClosingQuestion } from '../../src/domain/closing/closing-question.ts'
import { plansByBruteForce } from '../support/brute-closing.ts'
import { aClosing, on } from '../support/closings.ts'
import { lawOf } from '../support/laws.ts'
import { size } from '../support/scale.ts'

const hour = 3_600_000
const days = 9
const clock = (halfHours: number) =>
  `${String(Math.floor(halfHours / 2)).padStart(2, '0')}:${halfHours % 2 ? '30' : '00'}`

const aDay = fc.oneof(
  { weight: 1, arbitrary: fc.constant([]) },
  {
    weight: 4,
    arbitrary: fc
      .tuple(fc.integer({ min: 12, max: 18 }), fc.integer({ min: 6, max: 20 }), fc.boolean())
      .map(([from, length, breaks]) =>
        breaks
          ? [
              { from: clock(from), until: clock(from + 4) },
              { from: clock(from + 6), until: clock(from + 6 + Math.max(1, length - 6)) },
            ]
          : [{ from: clock(from), until: clock(from + length) }],
      ),
  },
)

const aQuestion = fc
  .record({
    // Over a clock change each way, and in a week without one.
    monday: fc.constantFrom('2026-03-02', '2026-03-04', '2026-05-11', '2026-10-28'),
    asks: fc.constantFrom('fix-and-result' as const, 'fix-and-result' as const, 'result' as const),
    week: fc.array(aDay, { minLength: 7, maxLength: 7 }),
    holiday: fc.integer({ min: 0, max: 12 }),
    start: fc.integer({ min: 0, max: 40 }),
    deadline: fc.integer({ min: 60, max: days * 48 - 60 }),
    busy: fc.array(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 300 }), fc.integer({ min: 1, max: 8 })), { maxLength: 6 }),
      {
        minLength: 1,
        maxLength: 2,
      },
    ),
    install: fc.integer({ min: 1, max: 14 }),
    set: fc.integer({ min: 1, max: 2 }),
    pickUp: fc.integer({ min: 1, max: 2 }),
    report: fc.integer({ min: 1, max: 6 }),
    waits: fc.record({
      afterFan: fc.integer({ min: 0, max: 30 }),
      closed: fc.integer({ min: 1, max: 20 }),
      length: fc.integer({ min: 20, max: 60 }),
      withinDays: fc.constantFrom(2, 3, 4, 30),
    }),
  })
  .map(given => {
    const now = on(`${given.monday} 06:00`) + given.start * (hour / 2)
    const law = lawOf('US', 'home', '2026-03-02')
    const { afterFan, closed, length, withinDays } = given.waits
    const rule = <T>(value: T) => ({ value, ref: law.rules.minimumHours!.ref })
    const question: ClosingQuestion = aClosing({
      now,
      asks: given.asks,
      deadline: now + given.deadline * (hour / 2),
      hours: {
        zone: 'America/Chicago',
        week: given.week,
        holidays: [{ day: DateTime.fromMillis(now).plus({ days: given.holiday }).toISODate()!, name: 'Day off' }],
      },
      durations: {
        ...{ installMinutes: given.install * 30, setMinutes: given.set * 30, pickUpMinutes: given.pickUp * 30 },
        ...{ reportMinutes: given.report * 30, laboratoryDays: 3 },
      },
      crews: given.busy.map((busy, at) => ({
        id: `crew-${at}`,
        name: 'Somebody',
        busy: busy.map(([from, length]) => ({
          from: now + from * (hour / 2),
          until: now + (from + length) * (hour / 2),
        })),
      })),
      devices: null,
      law: {
        ...law,
        rules: {
          minimumHours: rule({ 'continuous-monitor': length }),
          postMitigationEarliestHours: rule(afterFan),
          closedBeforeHours: rule(closed),
          closedBeforeUnderHours: rule(96),
          postMitigationWithin: rule(`P${withinDays}D`),
        },
      },
    })
    const waits = { afterFan: afterFan * hour, closed: closed * hour, length: length * hour, withinDays }
    return { question, waits }
  })

const runs = { numRuns: size(60, 150) }

it('finds a plan exactly where trying every half hour finds one, and its windows are those of all such plans', () => {
  let [yes, no] = [0, 0]
  fc.assert(
    fc.property(aQuestion, ({ question, waits }) => {
      const plans = plansByBruteForce(question, waits, days)
      const answer = closingOf(question)
      expect(answer.verdict).toBe(plans.length > 0 ? 'feasible' : 'infeasible')
      if (answer.verdict !== 'feasible') {
        no += 1
        return
      }
      yes += 1
      const span = (moments: readonly number[]) => ({ earliest: Math.min(...moments), latest: Math.max(...moments) })
      expect(answer.windows.set).toEqual(span(plans.map(plan => plan.set)))
      expect(answer.windows.pickUp).toEqual(span(plans.map(plan => plan.pickUp)))
      if (question.asks === 'fix-and-result')
        expect(answer.windows.fanStart).toEqual(span(plans.map(plan => plan.fanStart!)))
      expect(plans).toContainEqual({
        fanStart: answer.plan.fanStartAt,
        set: answer.plan.setAt,
        pickUp: answer.plan.pickUpAt,
      })
    }),
    runs,
  )
  // Both answers were met often, or the property would say little.
  expect(Math.min(yes, no)).toBeGreaterThan(size(8, 20))
}, 240_000)

it('never turns a yes into a no when the deadline moves later', () => {
  fc.assert(
    fc.property(aQuestion, fc.integer({ min: 1, max: 400 }), ({ question }, later) => {
      fc.pre(closingOf(question).verdict === 'feasible')
      expect(closingOf({ ...question, deadline: question.deadline! + later * (hour / 2) }).verdict).toBe('feasible')
    }),
    runs,
  )
})

it('proposes visits within working hours only, each with somebody who is not elsewhere', () => {
  fc.assert(
    fc.property(aQuestion, ({ question }) => {
      const answer = closingOf(question)
      if (answer.verdict === 'undetermined' || !answer.plan) return
      for (const { from, until, crewId } of answer.plan.visits) {
        const { busy } = question.crews.find(({ id }) => id === crewId)!
        expect(busy.some(other => other.from < until && other.until > from)).toBe(false)
        for (const at of [from, until - 1]) {
          const clock = DateTime.fromMillis(at, { zone: question.hours.zone })
          const spans = question.hours.week[clock.weekday - 1]!
          const time = clock.toFormat('HH:mm')
          expect(spans.some(span => span.from <= time && time < span.until)).toBe(true)
          expect(question.hours.holidays.map(({ day }) => day)).not.toContain(clock.toISODate())
        }
      }
    }),
    runs,
  )
})
