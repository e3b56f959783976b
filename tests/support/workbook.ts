import { ZipFile } from 'yazl'

/** A cell of a workbook to be made: text, a number, a day (kept as its count with a date's format), a formula. */
export type Cell =
  | string
  | number
  | null
  | { readonly day: number }
  | { readonly formula: string; readonly value?: number }
export type MadeSheet = {
  readonly name: string
  readonly rows: readonly (readonly Cell[])[]
  readonly merged?: readonly string[]
}

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;')
const letters = (column: number): string =>
  column < 26 ? String.fromCharCode(65 + column) : `A${letters(column - 26)}`

function cellXml(cell: Cell, at: string): string {
  if (cell === null) return ''
  if (typeof cell === 'string') return `<c r="${at}" t="inlineStr"><is><t>${escaped(cell)}</t></is></c>`
  if (typeof cell === 'number') return `<c r="${at}"><v>${cell}</v></c>`
  if ('day' in cell) return `<c r="${at}" s="1"><v>${cell.day}</v></c>`
  return `<c r="${at}"><f>${escaped(cell.formula)}</f>${cell.value === undefined ? '' : `<v>${cell.value}</v>`}</c>`
}

const sheetXml = ({ rows, merged = [] }: MadeSheet): string =>
  `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>${rows
    .map((row, r) => `<row r="${r + 1}">${row.map((cell, c) => cellXml(cell, `${letters(c)}${r + 1}`)).join('')}</row>`)
    .join(
      '',
    )}</sheetData>${merged.length > 0 ? `<mergeCells count="${merged.length}">${merged.map(ref => `<mergeCell ref="${ref}"/>`).join('')}</mergeCells>` : ''}</worksheet>`

const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'
const office = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
const parts = (sheets: readonly MadeSheet[]): Record<string, string> => ({
  '[Content_Types].xml': `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>`,
  '_rels/.rels': `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="${office}/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
  'xl/workbook.xml': `<workbook xmlns="${main}" xmlns:r="${office}"><sheets>${sheets.map(({ name }, i) => `<sheet name="${escaped(name)}" sheetId="${i + 1}" r:id="rId${i + 1}"/>`).join('')}</sheets></workbook>`,
  'xl/_rels/workbook.xml.rels': `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">${sheets.map((_, i) => `<Relationship Id="rId${i + 1}" Type="${office}/worksheet" Target="worksheets/sheet${i + 1}.xml"/>`).join('')}<Relationship Id="rId99" Type="${office}/styles" Target="styles.xml"/></Relationships>`,
  'xl/styles.xml': `<styleSheet xmlns="${main}"><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14" applyNumberFormat="1"/></cellXfs></styleSheet>`,
  ...Object.fromEntries(sheets.map((sheet, i) => [`xl/worksheets/sheet${i + 1}.xml`, sheetXml(sheet)])),
})

/** A zip archive of parts, as bytes. */
export async function zipped(files: Readonly<Record<string, string | Buffer>>): Promise<Buffer> {
  const zip = new ZipFile()
  for (const [name, text] of Object.entries(files)) zip.addBuffer(Buffer.from(text), name)
  zip.end()
  const chunks: Buffer[] = []
  for await (const chunk of zip.outputStream) chunks.push(Buffer.from(chunk as Uint8Array))
  return Buffer.concat(chunks)
}

/** A workbook (.xlsx) as the standard has it (ECMA-376), made by hand. */
export const aWorkbook = (...sheets: readonly MadeSheet[]): Promise<Buffer> => zipped(parts(sheets))
