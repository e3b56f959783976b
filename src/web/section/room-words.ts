import type { SectionElement } from './section-model.ts'
import { wrapWords } from './wrap-words.ts'

type State = SectionElement['state']

// A character's width at the size of the drawing's words; results are set bolder.
const character = 7.2
const boldCharacter = 7.8

/** Where the words of a room begin: right of the hatching where it is over the level. */
export const wordsStart = (state: State): number => (state === 'at-or-above' ? 18 : 11)
const roomFor = (width: number, state: State, each: number) =>
  Math.max(4, Math.floor((width - wordsStart(state) - 6) / each))

/** A room's name on one line, or on up to four where it is long. */
export const nameLines = (name: string, width: number, state: State): readonly string[] =>
  wrapWords(name, roomFor(width, state, character), 4)

export type RoomLine = { readonly words: string; readonly result: boolean }

/** What is written in a room: its name, its latest result, and the day of it, shortened where the room is narrow. */
export function roomLines({ label, value, on, w, state }: SectionElement): readonly RoomLine[] {
  const fits = roomFor(w, state, character)
  const day = on.length <= fits ? on : on.replace(/\p{L}{4,}/u, month => month.slice(0, 3))
  return [
    ...nameLines(label, w, state).map(words => ({ words, result: false })),
    ...wrapWords(value, roomFor(w, state, boldCharacter), 2).map(words => ({ words, result: true })),
    ...(day === '' ? [] : [{ words: day, result: false }]),
  ]
}
