/**
 * A text in lines of at most `room` characters, broken between words, and within a word only where it is longer than a
 * line; what does not fit into `most` lines ends with an ellipsis.
 */
export function wrapWords(text: string, room: number, most: number): readonly string[] {
  const lines: string[] = []
  for (const word of text.split(' ').flatMap(word => piecesOf(word, room))) {
    const last = lines.at(-1)
    if (last !== undefined && last.length + 1 + word.length <= room) lines[lines.length - 1] = `${last} ${word}`
    else lines.push(word)
  }
  if (lines.length <= most) return lines
  const kept = lines.slice(0, most)
  return [...kept.slice(0, -1), `${kept.at(-1)!.slice(0, room - 1)}…`]
}

const piecesOf = (word: string, room: number): string[] =>
  word === '' ? [] : [word.slice(0, room), ...piecesOf(word.slice(room), room)]
