import { DateTime } from 'luxon'
import type { ClosingAnswer } from '../../src/domain/closing/closing-answer.ts'
import type { ClosingQuestion } from '../../src/domain/closing/closing-question.ts'
import { lawOf } from './laws.ts'

export const chicago = 'America/Chicago'

/** An instant by another calendar library: `2026-03-02 08:00` on the clock of a zone. */
export const on = (wall: string, zone = chicago): number => DateTime.fromSQL(wall, { zone }).toMillis()
/** What the clock shows, by that library. */
export const wallOf = (at: number, zone = chicago): string =>
  DateTime.fromMillis(at, { zone }).toFormat('ccc yyyy-MM-dd HH:mm')

export const eightToFive = [{ from: '08:00', until: '17:00' }]

/** Monday 2 March 2026, eight o'clock in Chicago; the office works Monday to Friday from eight to five. */
export const aClosing = (over: Partial<ClosingQuestion> = {}): ClosingQuestion => ({
  now: on('2026-03-02 08:00'),
  asks: 'fix-and-result',
  method: 'continuous-monitor',
  deadline: on('2026-03-06 10:00'),
  zone: chicago,
  law: lawOf('US', 'home', '2026-03-02'),
  mitigated: false,
  fanStart: null,
  hours: { zone: chicago, week: [...Array(5).fill(eightToFive), [], []], holidays: [] },
  durations: { installMinutes: 360, setMinutes: 30, pickUpMinutes: 30, reportMinutes: 60, laboratoryDays: 4 },
  crews: [{ id: 'jo', name: 'Jo', busy: [] }],
  devices: [{ id: 'm', name: 'Monitor', goodUntil: '2027-01-01' }],
  ...over,
})

export function feasible(answer: ClosingAnswer): Extract<ClosingAnswer, { verdict: 'feasible' }> {
  if (answer.verdict !== 'feasible') throw new Error(`${answer.verdict}: ${JSON.stringify(answer.binds)}`)
  return answer
}
export function infeasible(answer: ClosingAnswer): Extract<ClosingAnswer, { verdict: 'infeasible' }> {
  if (answer.verdict !== 'infeasible') throw new Error(answer.verdict)
  return answer
}

/** The windows as the clock shows them: `Mon 2026-03-02 14:00 to Mon 2026-03-02 17:00`. */
export const shown = (answer: ClosingAnswer, zone = chicago): Record<string, string> =>
  Object.fromEntries(
    Object.entries(feasible(answer).windows).flatMap(([name, window]) =>
      window ? [[name, `${wallOf(window.earliest, zone)} to ${wallOf(window.latest, zone)}`]] : [],
    ),
  )
