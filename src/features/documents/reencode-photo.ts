import { problem } from '../../platform/http/problem.ts'

export type Picture = { readonly photo: Buffer; readonly thumbnail: Buffer }

const longestSide = 2048
const thumbnailSide = 360
// A picture of 48 megapixels is what phones take; a file that unpacks to more is refused before it is unpacked.
const limitInputPixels = 60_000_000

const startsWith = (bytes: Buffer, at: number, mark: string) =>
  bytes.subarray(at, at + mark.length).toString('latin1') === mark
const isPicture = (bytes: Buffer) =>
  startsWith(bytes, 0, '\xff\xd8\xff') ||
  startsWith(bytes, 0, '\x89PNG\r\n\x1a\n') ||
  (startsWith(bytes, 0, 'RIFF') && startsWith(bytes, 8, 'WEBP'))

/**
 * A photo and its thumbnail as JPEG, turned upright, without the position and other data a camera writes into it.
 * Throws 422 for anything but a JPEG, PNG or WebP picture, judged by its content.
 */
export async function reencodePhoto(bytes: Buffer): Promise<Picture> {
  if (!isPicture(bytes)) throw unreadable()
  const { default: sharp } = await import('sharp')
  const upright = sharp(bytes, { limitInputPixels, failOn: 'error' }).rotate()
  const fitted = (side: number, quality: number) =>
    upright
      .clone()
      .resize(side, side, { fit: 'inside', withoutEnlargement: true })
      .flatten({ background: '#fff' })
      .jpeg({ quality })
      .toBuffer()
  const made = await Promise.all([fitted(longestSide, 80), fitted(thumbnailSide, 70)]).catch(() => null)
  if (!made) throw unreadable()
  return { photo: made[0], thumbnail: made[1] }
}

const unreadable = () =>
  problem(422, 'not-a-picture', 'This can not be read as a picture: send a JPEG, PNG or WebP of at most 60 megapixels.')
