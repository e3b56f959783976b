import { createHash } from 'node:crypto'
import { problem } from '../../platform/http/problem.ts'

export type Logo = { readonly bytes: Buffer; readonly sha256: Buffer }

const widest = 800
const highest = 400
const limitInputPixels = 40_000_000

const starts = [Buffer.from('ffd8ff', 'hex'), Buffer.from('89504e470d0a1a0a', 'hex'), Buffer.from('RIFF')]
// Vector and animated formats can carry programs or more than a picture; they are refused by content, not by name.
const isPicture = (bytes: Buffer) => starts.some(start => bytes.subarray(0, start.length).equals(start))

/** A logo as PNG of at most 800 by 400 pixels, without anything its file carried beside the picture. */
export async function reencodeLogo(bytes: Buffer): Promise<Logo> {
  if (!isPicture(bytes)) throw unreadable()
  const { default: sharp } = await import('sharp')
  const made = await sharp(bytes, { limitInputPixels, failOn: 'error' })
    .rotate()
    .resize(widest, highest, { fit: 'inside', withoutEnlargement: true })
    .png({ compressionLevel: 9, palette: true })
    .toBuffer()
    .catch(() => null)
  if (!made) throw unreadable()
  return { bytes: made, sha256: createHash('sha256').update(made).digest() }
}

const unreadable = () =>
  problem(422, 'not-a-picture', 'This can not be read as a picture: send a PNG, JPEG or WebP.', [
    { pointer: '/logo', code: 'not-a-picture', detail: 'can not be read: choose a PNG, JPEG or WebP file' },
  ])
