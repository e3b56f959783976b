/** Whether a JSON text names more members than the value read from it has: the last of a name would hide the others. */
export const hasRepeatedName = (text: string, value: unknown): boolean => membersIn(text) !== membersOf(value)

/** Members written in a JSON text: the colons outside its strings. */
function membersIn(text: string): number {
  let members = 0
  let quoted = false
  for (let i = 0; i < text.length; i++) {
    const sign = text.charCodeAt(i)
    if (quoted && sign === backslash) i++
    else if (sign === quote) quoted = !quoted
    else if (!quoted && sign === colon) members++
  }
  return members
}
const backslash = 92
const quote = 34
const colon = 58

function membersOf(value: unknown): number {
  let members = 0
  const left = [value]
  for (let next = left.pop(); left.length > 0 || next !== undefined; next = left.pop()) {
    if (typeof next !== 'object' || next === null) continue
    const inner = Object.values(next)
    if (!Array.isArray(next)) members += inner.length
    for (const one of inner) if (typeof one === 'object' && one !== null) left.push(one)
  }
  return members
}
