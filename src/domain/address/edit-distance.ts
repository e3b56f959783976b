/**
 * The fewest slips (a letter left out, added, mistaken, or two swapped) that turn `typed` into `word`, and into some
 * beginning of `word`. Optimal string alignment, so a swap counts once.
 */
export function slips(typed: string, word: string): { whole: number; beginning: number } {
  let above: number[] = []
  let last = Array.from({ length: word.length + 1 }, (_, j) => j)
  for (let i = 1; i <= typed.length; i++) {
    const row = [i]
    for (let j = 1; j <= word.length; j++) {
      const same = typed[i - 1] === word[j - 1] ? 0 : 1
      row[j] = Math.min(last[j - 1]! + same, last[j]! + 1, row[j - 1]! + 1)
      const swapped = i > 1 && j > 1 && typed[i - 1] === word[j - 2] && typed[i - 2] === word[j - 1]
      if (swapped) row[j] = Math.min(row[j]!, above[j - 2]! + 1)
    }
    above = last
    last = row
  }
  return { whole: last[word.length]!, beginning: Math.min(...last) }
}

/** How many slips are still taken for the same word: none in a short one, where a slip makes another word. */
export const slipsAllowed = (typed: string): number => (typed.length < 4 ? 0 : typed.length < 7 ? 1 : 2)
