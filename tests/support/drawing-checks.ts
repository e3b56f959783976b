import type { Page } from 'playwright-core'

const boxes = `[...document.querySelectorAll('svg.house:not(.thumbnail)')].map(house => {
  const { width, height } = house.viewBox.baseVal
  const words = [...house.querySelectorAll('text')].map(text => {
    const { x, y, width: w, height: h } = text.getBBox()
    const room = text.closest('.room')?.querySelector('rect')?.getBBox()
    return { words: text.textContent, x, y, w, h, right: room ? room.x + room.width : width, floor: room ? room.y + room.height : height }
  })
  return { home: house.querySelector('title').textContent, words }
})`
type Words = { words: string; x: number; y: number; w: number; h: number; right: number; floor: number }
type House = { home: string; words: Words[] }

const housesOf = (page: Page) => page.evaluate(boxes) as Promise<House[]>

export const wordsInDrawings = async (page: Page): Promise<number> =>
  (await housesOf(page)).reduce((sum, house) => sum + house.words.length, 0)

// The box of a line of text reaches above its capitals and below its descenders; the letters do not.
const letters = ({ x, y, w, h }: Words) => ({ x, y: y + h * 0.25, right: x + w, bottom: y + h * 0.8 })

/** Words that leave their room or the picture, or lie over other words; in units of the drawing, half a unit allowed. */
export async function drawingFaults(page: Page): Promise<string[]> {
  return (await housesOf(page)).flatMap(({ home, words }) =>
    words.flatMap((one, index) => {
      const a = letters(one)
      const beyond =
        a.right > one.right + 0.5 || a.bottom > one.floor + 0.5 ? [`${home}: ${one.words} leaves its place`] : []
      const over = words.slice(index + 1).filter(other => {
        const b = letters(other)
        return a.x < b.right && b.x < a.right && a.y < b.bottom && b.y < a.bottom
      })
      return [...beyond, ...over.map(other => `${home}: ${one.words} over ${other.words}`)]
    }),
  )
}
