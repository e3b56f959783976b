import type { LocalDay } from '../../domain/facts.ts'
import { firstQuestionsOf } from '../../domain/first-questions/first-questions-of.ts'
import type { Asked } from './answers-form.tsx'
import { callFactsOf } from './call-facts.ts'
import type { CallHome } from './call-queries.ts'
import { reported } from './schemas.ts'

/**
 * Questions that come back with a form, each with why it is asked and what an answer points to. They are known by their
 * words: what is reported may be the very thing that is missing.
 */
export function askedAgain(
  asked: readonly Asked[],
  home: CallHome,
  systemId: string,
  today: LocalDay,
): readonly Asked[] {
  // The last of equal words holds: the system that the form is about.
  const systems = [...home.systems].sort((a, b) => Number(a.id === systemId) - Number(b.id === systemId))
  const known = new Map<string, Asked>(
    [undefined, ...systems].flatMap(system =>
      reported.options
        .flatMap(said => firstQuestionsOf(said, callFactsOf(system, home.zone, today)))
        .map(question => [question.ask, question] as const),
    ),
  )
  return asked.map(one => known.get(one.ask) ?? one)
}
