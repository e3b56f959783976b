import type { Tx } from '../platform/db/client.ts'
import { type Act, recordWrite } from '../platform/db/record-write.ts'
import { type Problem, problem } from '../platform/http/problem.ts'
import { lockCorrection, lockedCorrection, markCorrectionUndone, partsOf } from './correction-queries.ts'
import type { Correction, Part } from './correction-rows.ts'
import type { HomeChange } from './home-change.ts'
import { newlyPointing, placesTaken, pointingOut } from './left-pointing.ts'
import { shortHash, standingsAround } from './make-correction.ts'
import { nouns } from './nouns.ts'
import { fieldsNow, type PutBack, sameValue } from './record-parts.ts'

export type Undone = {
  readonly correction: Correction
  readonly standings: readonly HomeChange[]
  readonly tag: string
}

/** Puts everything back that a correction changed, or says what hangs on it since and changes nothing. */
export async function undoCorrection(tx: Tx, act: Act, id: string, reason: string): Promise<Undone> {
  const correction = await lockCorrection(tx, act, id)
  if (correction.undoneAt !== null) throw problem(409, 'undone-already', 'This correction was undone before.')
  const parts = await partsOf(tx, id)
  const hindering = [...(await movedOn(tx, parts)), ...(await hangingOnThem(tx, parts))]
  if (hindering.length > 0) throw hangingOn(hindering)
  const homes = [...correction.propertyIds].sort()
  const { standings } = await standingsAround(tx, act, homes, async () => {
    const before = await pointingOut(tx, homes)
    await putBack(tx, act, parts, reason)
    const left = newlyPointing(before, await pointingOut(tx, homes))
    if (left.length > 0) throw hangingOn(left)
  })
  await markCorrectionUndone(tx, act, id, reason)
  await recordWrite(tx, act, {
    ...{ action: 'restore', noun: 'correction', id, reason, propertyId: correction.propertyIds[0] ?? null },
    version: correction.version + 1,
  })
  return { correction: await lockedCorrection(tx, id), standings, tag: shortHash([id, standings]) }
}

async function putBack(tx: Tx, act: Act, parts: readonly Part[], reason: string): Promise<void> {
  try {
    for (const [noun, own] of byNoun(parts).reverse()) await nouns[noun]!.putBack(tx, act, recordsOf(own), reason)
  } catch (error) {
    const taken = placesTaken[(error as { constraint?: string }).constraint ?? '']
    throw taken === undefined ? error : hangingOn([taken])
  }
}

const hangingOn = (lines: readonly string[]): Problem =>
  problem(
    409,
    'hangs-on-it',
    'Something has happened since that hangs on this correction.',
    lines.map(detail => ({ pointer: '', code: 'hangs-on-it', detail })),
  )

/** The parts by noun, in the order in which the nouns were first touched. */
function byNoun(parts: readonly Part[]): [string, Part[]][] {
  const groups = new Map<string, Part[]>()
  for (const part of parts) groups.set(part.noun, [...(groups.get(part.noun) ?? []), part])
  return [...groups]
}

function recordsOf(parts: readonly Part[]): PutBack[] {
  const records = new Map<string, Record<string, unknown>>()
  for (const { recordId, field, was } of parts) records.set(recordId, { ...records.get(recordId), [field]: was })
  return [...records].map(([id, was]) => ({ id, was }))
}

async function movedOn(tx: Tx, parts: readonly Part[]): Promise<string[]> {
  const told: string[] = []
  for (const [noun, own] of byNoun(parts)) {
    const { fields } = nouns[noun]!
    const ids = [...new Set(own.map(part => part.recordId))]
    const now = await fieldsNow(tx, noun, nouns[noun]!, ids)
    for (const { recordId, field, now: left } of own) {
      const { since } = fields[field]!
      if (since !== null && !sameValue(now.get(recordId)?.[field], left)) told.push(since)
    }
  }
  return [...new Set(told)]
}

async function hangingOnThem(tx: Tx, parts: readonly Part[]): Promise<string[]> {
  const told: string[] = []
  for (const [noun, own] of byNoun(parts)) told.push(...((await nouns[noun]!.hindrances?.(tx, own)) ?? []))
  return told
}
