import type { z } from 'zod'
import type { Actor } from '../platform/auth/actor.ts'
import { instantText } from '../platform/http/scalars.ts'
import { caution } from '../standing/present-standing.ts'
import type { Correction, Tagged } from './correction-rows.ts'
import type { Brief } from './home-change.ts'
import type { correctionOut, foreseenOut } from './schemas.ts'
import { toldWords } from './told-words.ts'

/** Words of a correction may hold names of people and ways to reach them. */
export const seesWords = (actor: Actor): boolean => actor.kind !== 'app' || actor.scopes.includes('contacts:read')

const presentBrief = ({ voided, verdict, owed }: Brief) => ({
  voided,
  outcome: verdict.outcome,
  reason: verdict.reason,
  compared: verdict.compared,
  owed: owed.map(({ kind, dueOn, owedBy, recommended }) => ({ kind, dueOn, owedBy, recommended })),
})

const shown = ({ kind, noun, nounId, intoId, propertyIds, reason, standings, told }: Correction, words: boolean) => ({
  ...{ kind, noun, nounId, intoId, propertyIds: [...propertyIds], reason, caution },
  homes: standings.map(({ propertyId, before, after, changed }) => ({
    ...{ propertyId, before: presentBrief(before), after: presentBrief(after), changed },
  })),
  ...(words ? { told: told.map(toldWords) } : {}),
})

/** The API's Correction. */
export const presentCorrection = (correction: Correction, words: boolean): z.output<typeof correctionOut> => ({
  id: correction.id,
  ...shown(correction, words),
  madeAt: instantText(correction.madeAt),
  madeBy: { kind: correction.actorKind, id: correction.actorId },
  undone:
    correction.undoneAt === null ? null : { at: instantText(correction.undoneAt), reason: correction.undoReason ?? '' },
  version: correction.version,
})

/** What would change, with the tag that holds the deed to it. */
export const presentForeseen = ({ correction, tag }: Tagged, words: boolean): z.output<typeof foreseenOut> => ({
  ...shown(correction, words),
  tag,
})
