/** A seeded stream of numbers in [0, 1): the same demo on every machine (mulberry32). */
export function seededNumbers(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/**
 * Hourly radon around `mean`, as decimal text with one place: higher towards morning, with the scatter of a small
 * monitor. The first hours climb from near nothing, as decay products grow in.
 */
export function hourlyRadon(options: { mean: number; hours: number; seed: number; startHour: number }): string[] {
  const next = seededNumbers(options.seed)
  return Array.from({ length: options.hours }, (_, hour) => {
    const hourOfDay = (options.startHour + hour) % 24
    const daily = 1 + 0.18 * Math.cos(((hourOfDay - 5) / 24) * 2 * Math.PI)
    const ingrowth = Math.min(1, 0.25 + hour * 0.25)
    const scatter = 1 + (next() - 0.5) * 0.3
    return Math.max(0.1, options.mean * daily * ingrowth * scatter).toFixed(1)
  })
}
