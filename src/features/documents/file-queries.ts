import { createHash } from 'node:crypto'
import { seen } from '../../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'

export type StoredFile = { readonly bytes: Buffer; readonly mediaType: string; readonly name: string }

const insert = sql(
  'file-insert',
  `insert into stored_file (sha256, bytes, size, media_type, name, created_at) values ($1,$2,$3,$4,$5,$6)
   on conflict (sha256) do nothing`,
)
/** Keeps a file under its SHA-256 and gives that; the same bytes are kept once. */
export async function insertFile(tx: Tx, now: number, file: StoredFile): Promise<Buffer> {
  const sha256 = createHash('sha256').update(file.bytes).digest()
  await tx.rows(insert, [sha256, file.bytes, file.bytes.length, file.mediaType, file.name, at(now)])
  return sha256
}

const pictureStatement = (column: 'photo_sha256' | 'thumbnail_sha256') =>
  sql(
    `note-${column}`,
    `select f.bytes, f.media_type as "mediaType", encode(f.sha256, 'hex') as tag from note n join stored_file f on f.sha256 = n.${column}
      where n.id = $1 and ($2 or n.property_id in (select property_id from visible_home($3, $4, $5)))`,
  )
const pictures = { photo: pictureStatement('photo_sha256'), thumbnail: pictureStatement('thumbnail_sha256') }

export type Picture = { readonly bytes: Buffer; readonly mediaType: string; readonly tag: string }

/** The picture of a note, or null when there is none for this actor to see. */
export const readPicture = (db: Db, who: Pick<Act, 'actor' | 'now'>, noteId: string, size: keyof typeof pictures) =>
  db.one<Picture>(pictures[size], [noteId, ...seen(who.actor, who.now)])
