import { type Fault, problem } from '../../platform/http/problem.ts'

export type Refusal = Fault

/** One 422 that lists every fault. */
export const impossible = (faults: readonly Refusal[]): Error =>
  problem(422, 'impossible', 'The facts contradict each other or nature; nothing was saved.', [...faults])

/** Throws when there is any fault. */
export function refuse(faults: readonly Refusal[]): void {
  if (faults.length > 0) throw impossible(faults)
}

export const unknownReference = (pointer: string, noun: string, id: string): Refusal => ({
  pointer,
  code: 'unknown-reference',
  detail: `There is no ${noun} ${id}: use one that is there`,
})
