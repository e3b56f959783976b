import { isAscii } from 'node:buffer'
import { MAX_FILE_BYTES, MAX_LINE_CHARS, shown, Unreadable } from './fault.ts'

export type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252'
export type Decoded = { readonly text: string; readonly encoding: Encoding }

/** First bytes of files that people rename to .csv, and what they are. */
const MAGIC: readonly (readonly [string, string])[] = [
  ['504b0304', 'a workbook or a zip archive'],
  ['504b0506', 'a zip archive'],
  ['1f8b', 'a gzip archive'],
  ['25504446', 'a PDF'],
  ['d0cf11e0', 'an old workbook'],
  ['89504e47', 'a picture'],
  ['ffd8ff', 'a picture'],
  ['474946383', 'a picture'],
  ['377abcaf', 'a 7z archive'],
  ['52617221', 'a rar archive'],
  ['53514c69746520', 'a database'],
  ['7f454c46', 'a program'],
]

const refuse = (
  code: 'empty' | 'too-large' | 'not-text',
  problem: string,
  remedy: string,
  line: number | null = null,
) => new Unreadable({ code, line, content: '', problem, remedy })

const SAVE_AS_TEXT = 'Open it in the program that made it and export the readings as CSV or text.'

/** UTF-16 without a mark: text in Latin letters has a zero in every second byte. */
function unmarkedUtf16(bytes: Uint8Array): Encoding | null {
  const n = Math.min(bytes.length, 4096) & ~1
  const zeros = [0, 0]
  for (let i = 0; i < n; i++) if (bytes[i] === 0) zeros[i & 1]!++
  if (n >= 8 && zeros[1]! > n * 0.4 && zeros[0]! === 0) return 'utf-16le'
  if (n >= 8 && zeros[0]! > n * 0.4 && zeros[1]! === 0) return 'utf-16be'
  return null
}

function encodingOf(bytes: Uint8Array): Encoding {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le'
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be'
  return unmarkedUtf16(bytes) ?? 'utf-8'
}

function refuseUnlessText(text: string) {
  const nul = text.indexOf('\0')
  if (nul >= 0) {
    const line = text.slice(0, nul).split(/\r\n|\n|\r/).length
    throw refuse(
      'not-text',
      `Line ${line} holds a NUL byte: this is not a text file, or it is damaged.`,
      SAVE_AS_TEXT,
      line,
    )
  }
  for (let from = 0, line = 1; from < text.length; line++) {
    const to = endOfLine(text, from)
    if (to - from > MAX_LINE_CHARS) {
      const content = shown(text.slice(from, from + 200))
      const problem = `Line ${line} is longer than ${MAX_LINE_CHARS / 1024 / 1024} million characters.`
      throw new Unreadable({ code: 'too-large', line, content, problem, remedy: SAVE_AS_TEXT })
    }
    from = afterLineEnd(text, to)
  }
}

/** Position of the line end at or after `from`: LF, CRLF, or CR alone. */
export function endOfLine(text: string, from: number): number {
  for (let at = from; at < text.length; at++) {
    const code = text.charCodeAt(at)
    if (code === 10 || code === 13) return at
  }
  return text.length
}

export const afterLineEnd = (text: string, end: number): number =>
  text.charCodeAt(end) === 13 && text.charCodeAt(end + 1) === 10 ? end + 2 : end + 1

/**
 * The text of an uploaded file and the encoding it was in.
 * @throws Unreadable for what is empty, too large, or no text.
 */
export function decodeText(bytes: Uint8Array, maxBytes = MAX_FILE_BYTES): Decoded {
  if (bytes.length === 0) throw refuse('empty', 'The file is empty.', 'Export it again and look at its size.')
  if (bytes.length > maxBytes)
    throw refuse('too-large', `The file is larger than ${maxBytes / 1024 / 1024} MB.`, 'Export a shorter period.')
  const start = Buffer.from(bytes.buffer, bytes.byteOffset, Math.min(bytes.length, 16)).toString('hex')
  const magic = MAGIC.find(([first]) => start.startsWith(first))
  if (magic) throw refuse('not-text', `This is ${magic[1]}, not a text file.`, SAVE_AS_TEXT)
  const encoding = encodingOf(bytes)
  const decoded = decodedAs(bytes, encoding)
  refuseUnlessText(decoded.text)
  if (decoded.text.trim() === '') throw refuse('empty', 'The file holds only blanks.', 'Export it again.')
  return decoded
}

function decodedAs(bytes: Uint8Array, encoding: Encoding): Decoded {
  // Two bytes a character is what the decoder makes even of plain text: twenty megabytes more of a large file.
  if (encoding === 'utf-8' && isAscii(bytes))
    return { text: Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('latin1'), encoding }
  try {
    return { text: new TextDecoder(encoding, { fatal: true }).decode(bytes), encoding }
  } catch {
    if (encoding !== 'utf-8')
      throw refuse('not-text', 'The file is cut off in the middle of a character.', SAVE_AS_TEXT)
    return { text: new TextDecoder('windows-1252').decode(bytes), encoding: 'windows-1252' }
  }
}
