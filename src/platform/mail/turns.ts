/** One place in a line. Whoever has come to it holds it until it passes; passing before that gives the place up. */
export type Turn = { comes(): Promise<void>; passes(): void }

/** A line in which one at a time has the turn, in the order in which they asked for it. */
export function aLine(): () => Turn {
  let last = Promise.resolve()
  return () => {
    let before: Promise<void> | undefined
    let pass = () => {}
    return {
      comes() {
        if (before) return before
        const held = new Promise<void>(resolve => {
          pass = resolve
        })
        before = last
        last = before.then(() => held)
        return before
      },
      passes: () => pass(),
    }
  }
}
