import { seen } from '../../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import type { NoteSubject } from './schemas.ts'

type Who = Pick<Act, 'actor' | 'now'>

export type Note = {
  readonly id: string
  readonly propertyId: string | null
  readonly subject: NoteSubject
  readonly subjectId: string
  readonly text: string
  readonly photo: boolean
  readonly by: string
  readonly at: number
  readonly voidedAt: number | null
  readonly voidReason: string | null
}

// A note on a customer or a device belongs to no home; only who sees all homes sees it.
const visible = (n: number) =>
  `($${n} or n.property_id in (select property_id from visible_home($${n + 1}, $${n + 2}, $${n + 3})))`

const columns = `n.id, n.property_id as "propertyId", n.subject, n.subject_id as "subjectId", n.text,
  n.photo_sha256 is not null as photo, n.by_name as by, n.at, n.voided_at as "voidedAt", n.void_reason as "voidReason"`

const noteById = sql('note-by-id', `select ${columns} from note n where n.id = $1 and ${visible(2)}`)
export async function readNote(db: Db, who: Who, id: string): Promise<Note> {
  const note = await db.one<Note>(noteById, [id, ...seen(who.actor, who.now)])
  if (!note) throw notFound('note')
  return note
}

const lists = {
  all: sql('note-list', `select ${columns} from note n where ${visible(1)} and n.id < $6 order by n.id desc limit $5`),
  home: sql(
    'note-list-home',
    `select ${columns} from note n where ${visible(1)} and n.id < $6 and n.property_id = $7 order by n.id desc limit $5`,
  ),
  subject: sql(
    'note-list-subject',
    `select ${columns} from note n where ${visible(1)} and n.id < $6 and n.subject = $7 and n.subject_id = $8 order by n.id desc limit $5`,
  ),
}
const highestId = 'ffffffff-ffff-ffff-ffff-ffffffffffff'

/** Newest first, from behind `before` on; one more than `limit` tells that more follow. */
export function listNotes(
  db: Db,
  who: Who,
  list: { subject?: string; subjectId?: string; propertyId?: string; before: string | null; limit: number },
): Promise<Note[]> {
  const start = [...seen(who.actor, who.now), list.limit + 1, list.before ?? highestId]
  if (list.subject && list.subjectId) return db.rows<Note>(lists.subject, [...start, list.subject, list.subjectId])
  return list.propertyId ? db.rows<Note>(lists.home, [...start, list.propertyId]) : db.rows<Note>(lists.all, start)
}

const subjects: Record<NoteSubject, ReturnType<typeof sql>> = {
  property: homeStatement('property', 'id'),
  system: homeStatement('system', 'property_id'),
  test: homeStatement('test', 'property_id'),
  callback: homeStatement('callback', 'property_id'),
  visit: homeStatement('visit', 'property_id'),
  customer: homeStatement('customer', 'null::uuid'),
  device: homeStatement('device', 'null::uuid'),
}
function homeStatement(table: NoteSubject, home: string) {
  return sql(
    `note-home-of-${table}`,
    `select ${home} as "propertyId" from ${table} where id = $1
       and ($2 or ${home} in (select property_id from visible_home($3, $4, $5)))`,
  )
}
/** The home that the record a note goes on belongs to (null for a customer or device); 404 when it is not there or not theirs. */
export async function homeOfSubject(db: Db, who: Who, subject: NoteSubject, id: string): Promise<string | null> {
  const found = await db.one<{ propertyId: string | null }>(subjects[subject], [id, ...seen(who.actor, who.now)])
  if (!found) throw notFound(subject)
  return found.propertyId
}

export type NoteInsert = Omit<Note, 'photo' | 'by' | 'voidedAt' | 'voidReason'> & {
  readonly byKind: string
  readonly byId: string | null
  readonly byName: string
  readonly photoSha256: Buffer | null
  readonly thumbnailSha256: Buffer | null
}
const insert = sql(
  'note-insert',
  `insert into note (id, property_id, subject, subject_id, text, photo_sha256, thumbnail_sha256, by_kind, by_id, by_name, at)
   values ($1,$2,$3,$4,$5,$6,$7,$8,$9,$10,$11)`,
)
export const insertNote = (tx: Tx, row: NoteInsert) =>
  tx.rows(insert, [
    row.id,
    row.propertyId,
    row.subject,
    row.subjectId,
    row.text,
    row.photoSha256,
    row.thumbnailSha256,
    row.byKind,
    row.byId,
    row.byName,
    at(row.at),
  ])

const insertMany = sql(
  'note-insert-many',
  `insert into note (id, property_id, subject, subject_id, text, by_kind, by_id, by_name, at)
   select n.id, n."propertyId", 'property', n."propertyId", n.text, $2, $3, $4, $5
     from jsonb_to_recordset($1::jsonb) as n(id uuid, "propertyId" uuid, text text)`,
)
/** Notes in words on homes, all by one hand. */
export const insertHomeNotes = (
  tx: Tx,
  rows: readonly { readonly id: string; readonly propertyId: string; readonly text: string }[],
  by: Pick<NoteInsert, 'byKind' | 'byId' | 'byName' | 'at'>,
) => tx.rows(insertMany, [JSON.stringify(rows), by.byKind, by.byId, by.byName, at(by.at)])

const markVoided = sql(
  'note-void',
  `update note set voided_at = $2, void_reason = $3 where id = any($1::uuid[]) and voided_at is null
   returning id, property_id as "propertyId"`,
)
/** Strikes notes through, and gives those that were not yet. */
export const markNotesVoided = (tx: Tx, now: number, ids: readonly string[], reason: string) =>
  tx.rows<{ id: string; propertyId: string | null }>(markVoided, [ids, at(now), reason])
