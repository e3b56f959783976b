// Runs in the page. Plain JavaScript, so that the browser's types stay out of the program's.

globalThis.pageChecks = {
  sidewaysOverflow() {
    const root = document.documentElement
    if (root.scrollWidth <= root.clientWidth) return []
    const wide = [...document.querySelectorAll('body *')].filter(element => {
      if (element.getBoundingClientRect().right <= root.clientWidth + 1) return false
      for (let above = element.parentElement; above; above = above.parentElement)
        if (getComputedStyle(above).overflowX !== 'visible') return false
      return true
    })
    return wide.slice(0, 5).map(element => element.outerHTML.slice(0, 160))
  },

  structureFaults() {
    const faults = []
    const count = selector => document.querySelectorAll(selector).length
    if (count('h1') !== 1) faults.push(`${count('h1')} h1`)
    if (count('main, [role=main]') !== 1) faults.push(`${count('main, [role=main]')} main`)
    if (!document.documentElement.lang) faults.push('no lang')
    if (document.title.trim() === '') faults.push('no title')
    let level = 0
    for (const heading of document.querySelectorAll('main h1, main h2, main h3, main h4, main h5, main h6')) {
      const next = Number(heading.tagName[1])
      if (next > level + 1) faults.push(`h${next} after h${level}: ${heading.textContent}`)
      level = next
    }
    const ids = [...document.querySelectorAll('[id]')].map(element => element.id)
    for (const id of new Set(ids)) if (ids.filter(other => other === id).length > 1) faults.push(`id ${id} twice`)
    return faults
  },

  smallTargets(least) {
    const targets = document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')
    return [...targets].flatMap(element => {
      const box = element.getBoundingClientRect()
      if (box.width === 0 || box.height === 0) return []
      const inText = element.tagName === 'A' && element.closest('p, li, dt, dd, td, th, label, caption, figcaption')
      const label = element.closest('label')?.getBoundingClientRect()
      const height = Math.max(box.height, label?.height ?? 0)
      const width = Math.max(box.width, label?.width ?? 0)
      if (inText || (height >= least - 0.5 && width >= least - 0.5)) return []
      return [`${Math.round(box.width)}×${Math.round(box.height)} ${element.outerHTML.slice(0, 120)}`]
    })
  },

  focusStop() {
    const element = document.activeElement
    if (!element || element === document.body) return null
    // A link that runs over two lines has nothing of itself in the middle of its box.
    const box = element.getClientRects()[0] ?? element.getBoundingClientRect()
    const style = getComputedStyle(element)
    const at = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2)
    const text = (element.getAttribute('aria-label') ?? element.textContent ?? '').trim().slice(0, 60)
    return {
      name: `${element.tagName.toLowerCase()} ${text || (element.getAttribute('name') ?? '')}`,
      covered: at === null || !(element.contains(at) || at.contains(element) || at.closest('label')?.contains(element)),
      ringPx: style.outlineStyle === 'none' ? 0 : Number.parseFloat(style.outlineWidth),
      top: box.top + window.scrollY,
    }
  },
}
