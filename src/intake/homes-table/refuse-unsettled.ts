import { hasRole } from '../../platform/auth/actor.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import type { HomesReading } from './homes-reading.ts'
import type { HomesLook } from './kept-look.ts'

const MOST_TOLD = 100

/** Refuses a table with bad rows that are not to be left out, or with likely doubles nobody has decided on. */
export function refuseUnsettled({ counts, faults, doubles }: HomesLook, { badRows }: HomesReading): void {
  if (counts.bad > 0 && badRows === 'refuse')
    throw problem(
      422,
      'bad-rows',
      `${counts.bad} rows cannot be read; nothing was saved.`,
      faults.slice(0, MOST_TOLD).map(({ sheet, line, column, value, problem: what, remedy }) => ({
        pointer: `/rows/${line}`,
        code: 'bad-row',
        detail: `${sheet ? `Sheet ${sheet}, ` : ''}Line ${line}, ${column}: “${value}” ${what}. ${remedy}`,
      })),
    )
  const open = doubles.filter(({ said }) => said === null)
  if (counts.undecided > 0)
    throw problem(
      422,
      'unanswered',
      `${counts.undecided} pairs may be one home and nobody has said so; nothing was saved.`,
      open.slice(0, MOST_TOLD).map(({ id, home, other, why }) => ({
        pointer: `/reading/doubles/${id}`,
        code: 'unanswered',
        detail: `${home.address.street} and ${other.kind === 'file' ? other.home.address.street : other.home.address} may be one home (${why}): say same or other`,
      })),
    )
}

/** The company's book is the office's: a crew, and an app that sees some homes only, may not bring it in. */
export function refuseUnlessOfEverybody({ actor }: Pick<Act, 'actor'>): void {
  if (actor.kind === 'app' ? actor.allHomes : actor.kind !== 'staff' || hasRole(actor, 'owner', 'office')) return
  throw problem(403, 'not-your-role', 'Only the office may bring in a table of homes.')
}
