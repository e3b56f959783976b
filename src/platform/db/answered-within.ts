import { setTimeout as pause } from 'node:timers/promises'

/** What the database answers, or null when it fails or takes longer than this. */
export const answeredWithin = <T>(ms: number, asked: Promise<T>): Promise<T | null> =>
  Promise.race([asked.catch(() => null), pause(ms, null, { ref: false })])
