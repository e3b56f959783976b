import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { reencodePhoto } from '../../../src/features/documents/reencode-photo.ts'

const picture = (width: number, height: number) =>
  sharp({ create: { width, height, channels: 3, background: { r: 180, g: 140, b: 90 } } })

describe('a photo', () => {
  it('is turned upright and loses what the camera wrote into it, its position first of all', async () => {
    const original = await picture(400, 300)
      .withExif({ IFD0: { Make: 'Camera' }, IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '46/1 47/1 0/1' } })
      .withMetadata({ orientation: 6 })
      .jpeg()
      .toBuffer()
    const { photo } = await reencodePhoto(original)
    const kept = await sharp(photo).metadata()
    expect(kept).toMatchObject({ format: 'jpeg', width: 300, height: 400 })
    expect(kept.exif).toBeUndefined()
  })

  it('of any size fits into 2048 pixels, its thumbnail into 360, and a small one is not blown up', async () => {
    const large = await reencodePhoto(await picture(5000, 2500).png().toBuffer())
    expect(await sharp(large.photo).metadata()).toMatchObject({ width: 2048, height: 1024 })
    expect(await sharp(large.thumbnail).metadata()).toMatchObject({ width: 360, height: 180 })
    const small = await reencodePhoto(await picture(20, 10).webp().toBuffer())
    expect(await sharp(small.photo).metadata()).toMatchObject({ width: 20, height: 10 })
  })

  it('is refused when it is something else, whatever it is called', async () => {
    const svg = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>')
    const cut = (await picture(400, 300).jpeg().toBuffer()).subarray(0, 200)
    for (const bytes of [
      svg,
      cut,
      Buffer.from('\xff\xd8\xffnot really', 'latin1'),
      Buffer.alloc(0),
      Buffer.from('%PDF-1.7'),
    ])
      await expect(reencodePhoto(bytes)).rejects.toMatchObject({ status: 422, code: 'not-a-picture' })
  })

  it('that would unpack to more than 60 megapixels is refused', async () => {
    const bomb = await picture(9000, 9000).png({ compressionLevel: 9 }).toBuffer()
    expect(bomb.length).toBeLessThan(500_000)
    await expect(reencodePhoto(bomb)).rejects.toMatchObject({ status: 422 })
  })
})
