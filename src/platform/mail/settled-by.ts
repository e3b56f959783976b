import { nextAttemptAt, serverPause } from './back-off.ts'
import type { Settled } from './mail-queries.ts'
import type { KeptMail } from './message.ts'
import type { Outcome } from './outcome.ts'

/** What becomes of a mail: a server that is away costs it no attempt, one that says "later" does. */
export function settledBy({ id, attempts }: Pick<KeptMail, 'id' | 'attempts'>, outcome: Outcome, now: number): Settled {
  switch (outcome.kind) {
    case 'sent':
      return { state: 'sent', nextAttemptAt: null, reply: outcome.reply, code: 250, attempts }
    case 'permanent':
      return { state: 'refused', nextAttemptAt: null, reply: outcome.reply, code: outcome.code, attempts }
    case 'temporary': {
      const next = nextAttemptAt(id, attempts, now)
      const state = next === null ? 'refused' : 'waiting'
      return { state, nextAttemptAt: next, reply: outcome.reply, code: outcome.code, attempts }
    }
    case 'held':
      return { state: 'waiting', nextAttemptAt: now + serverPause, reply: '', code: null, attempts: attempts - 1 }
    default:
      return {
        state: 'waiting',
        nextAttemptAt: now + serverPause,
        reply: outcome.reply,
        code: outcome.code,
        attempts: attempts - 1,
      }
  }
}
