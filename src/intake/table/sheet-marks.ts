type Cell = { readonly column: number; readonly line: number }
/** How much of its day a cell shows: `Apr-14` is the first of a month only because a day must be kept. */
export type Roughly = 'month' | 'year'

/** What a sheet says beside its cells' values. */
export type SheetMarks = {
  readonly merged: readonly { readonly column: number; readonly from: number; readonly to: number }[]
  /** Cells whose formula has no value. */
  readonly unreckoned: readonly Cell[]
  /** Cells that show an error, such as `#N/A`. */
  readonly errors: readonly (Cell & { readonly text: string })[]
  /** Cells that show a month or a year only. */
  readonly rough: readonly (Cell & { readonly shows: Roughly })[]
  /** How many rows with cells in them are hidden. */
  readonly hidden: number
}

/** The opening tags of a name. */
export const tagsOf = (xml: string, name: string): readonly string[] =>
  xml.match(new RegExp(`<(?:\\w+:)?${name}\\s[^>]*>`, 'g')) ?? []
const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" }
export const attribute = (tag: string, name: string): string =>
  (new RegExp(`\\s${name}="([^"]*)"`).exec(tag)?.[1] ?? '').replaceAll(
    /&(amp|lt|gt|quot|apos);/g,
    (_, word) => ENTITIES[word]!,
  )

/** `C7` is column 2, line 7. */
function placeOf(reference: string): { readonly column: number; readonly line: number } | null {
  const [, letters, line] = /^([A-Z]{1,3})(\d{1,7})$/.exec(reference) ?? []
  if (!letters) return null
  return {
    column: [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0) - 1,
    line: Number(line),
  }
}

// `mmm-yy`, one of the formats that a workbook need not write out (ECMA-376, part 1, 18.8.30).
const MONTH_AND_YEAR = '17'

/** The styles of a workbook that show a month or a year only, by their number. */
export function roughFormats(styles: string): ReadonlyMap<string, Roughly> {
  const codes = new Map(
    tagsOf(styles, 'numFmt').map(tag => [attribute(tag, 'numFmtId'), showsOf(attribute(tag, 'formatCode'))]),
  )
  const used = /<(?:\w+:)?cellXfs\b[\s\S]*?<\/(?:\w+:)?cellXfs>/.exec(styles)?.[0] ?? ''
  return new Map(
    tagsOf(used, 'xf').flatMap((tag, style) => {
      const format = attribute(tag, 'numFmtId')
      const shows = format === MONTH_AND_YEAR ? 'month' : codes.get(format)
      return shows ? [[String(style), shows] as const] : []
    }),
  )
}

/** `mmm\-yy` shows a month, `yyyy` a year; what has a day or an hour in it, or neither, is not rough. */
function showsOf(code: string): Roughly | null {
  const letters = code.toLowerCase().replaceAll(/\[[^\]]*\]|"[^"]*"|\\./g, '')
  if (!/^[my\s/.,;@-]+$/.test(letters) || !letters.includes('y')) return null
  return letters.includes('m') ? 'month' : 'year'
}

const CELL = String.raw`<c\s(?=[^>]*?\sr="([A-Z]+\d+)"|r="([A-Z]+\d+)")`

/** The marks of a sheet; `rough` are the styles that show a month or a year only. */
export function marksOf(xml: string, rough: ReadonlyMap<string, Roughly>): SheetMarks {
  const merged = tagsOf(xml, 'mergeCell').flatMap(tag => {
    const [from, to] = attribute(tag, 'ref').split(':').map(placeOf)
    return from && to ? [{ column: from.column, from: from.line, to: to.line }] : []
  })
  const unreckoned = cellsWith(
    xml,
    String.raw`[^>]*>\s*<f\b(?:[^>]*\/>|[^>]*>[^<]*<\/f>)\s*(?:<v\s*\/>|<v><\/v>)?\s*<\/c>`,
  ).map(({ column, line }) => ({ column, line }))
  const errors = cellsWith(
    xml,
    String.raw`[^>]*?\bt="e"[^>]*>\s*(?:<f\b[^>]*\/>|<f\b[^>]*>[^<]*<\/f>)?\s*<v>(#[^<]*)<\/v>`,
  )
  const shown = [...rough.keys()].join('|')
  const roughly = rough.size === 0 ? [] : cellsWith(xml, String.raw`[^>]*?\bs="(${shown})"[^>]*>`)
  return {
    ...{ merged, unreckoned, errors },
    rough: roughly.map(({ column, line, text }) => ({ column, line, shows: rough.get(text)! })),
    hidden: (xml.match(/<row\s[^>]*\bhidden="(?:1|true)"[^>]*(?<!\/)>/g) ?? []).length,
  }
}

/** The cells that a pattern goes on to describe, with what it caught. */
const cellsWith = (xml: string, pattern: string): readonly (Cell & { readonly text: string })[] =>
  [...xml.matchAll(new RegExp(CELL + pattern, 'g'))].flatMap(([, late, first, text = '']) => {
    const place = placeOf((late ?? first)!)
    return place ? [{ ...place, text: text.replaceAll('&amp;', '&') }] : []
  })
