import type { Instant, TestMethod, TestPurpose } from '../../domain/facts.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { CorrectionKind } from '../../web/correction-words.ts'

/** What every fact of the history carries: voided ones are shown struck through. */
type Kept = { readonly id: string; readonly voidedAt: Instant | null; readonly voidReason: string | null }
type Dated = { readonly at: Instant | null; readonly edtf: string | null }

export type SystemComponent = Kept & {
  readonly kind: string
  readonly model: string
  readonly serial: string
  readonly place: string
  readonly installed: Dated
  readonly removed: Dated
  readonly removalReason: string
}
export type SuctionPoint = { readonly id: string; readonly name: string; readonly foundationAreaId: string | null }
export type SystemEvent = Kept & { readonly kind: string; readonly when: Dated; readonly note: string }
export type GaugeReading = Kept & {
  readonly role: string
  readonly value: string
  readonly unit: string
  readonly at: Instant
  readonly readBy: string
  readonly note: string
}
export type HomeSystem = Kept & {
  readonly tag: string | null
  readonly type: string
  readonly active: boolean
  readonly installedBy: string
  readonly installerName: string
  readonly createdAt: Instant
  readonly components: readonly SystemComponent[]
  readonly suctionPoints: readonly SuctionPoint[]
  readonly events: readonly SystemEvent[]
  readonly gaugeReadings: readonly GaugeReading[]
}
export type HomeTest = Kept & {
  readonly purpose: TestPurpose
  readonly method: TestMethod
  readonly source: string
  readonly setAt: Instant | null
  readonly pickedUpAt: Instant | null
  readonly sentToLabAt: Instant | null
  readonly resultInAt: Instant | null
  readonly createdAt: Instant
  readonly withRecord: readonly string[]
}
export type HomeCallback = Kept & {
  readonly number: number
  readonly complaint: string
  readonly reportedAt: Instant
  readonly reportedBy: string
  readonly description: string
  readonly found: string
  readonly done: string
  readonly closedAt: Instant | null
}
export type HomeVisit = Kept & {
  readonly purpose: string
  readonly startsAt: Instant
  readonly outcome: string
  readonly outcomeNote: string
  readonly doneAt: Instant | null
  readonly crew: readonly string[]
}
export type HomeNote = Kept & {
  readonly subject: string
  readonly text: string
  readonly photo: boolean
  readonly by: string
  readonly at: Instant
}
export type HomeMail = {
  readonly id: string
  readonly kind: string
  readonly subject: string
  readonly toName: string
  readonly state: string
  readonly sentAt: Instant | null
  readonly createdAt: Instant
}
export type HomeOutreach = Kept & {
  readonly kind: 'called' | 'put-off'
  readonly outcome: string
  readonly backOn: string
  readonly note: string
  readonly by: string | null
  readonly at: Instant
}
export type HomeReport = {
  readonly id: string
  readonly kind: string
  readonly receivedAt: Instant
  readonly state: string
}
export type EventOfHome = Kept & {
  readonly kind: string
  readonly when: Dated
  readonly note: string
  readonly version: number
}
export type CorrectionOfHome = {
  readonly id: string
  readonly kind: CorrectionKind
  readonly subject: string
  /** Where it went, if away from this home. */
  readonly awayTo: string | null
  readonly reason: string
  readonly madeAt: Instant
  readonly undoneAt: Instant | null
  readonly undoReason: string | null
}
export type HomeHistory = {
  readonly systems: readonly HomeSystem[]
  readonly tests: readonly HomeTest[]
  readonly callbacks: readonly HomeCallback[]
  readonly visits: readonly HomeVisit[]
  readonly notes: readonly HomeNote[]
  readonly events: readonly EventOfHome[]
  readonly mails: readonly HomeMail[]
  readonly reports: readonly HomeReport[]
  readonly outreach: readonly HomeOutreach[]
  readonly corrections: readonly CorrectionOfHome[]
}

const ms = (column: string) => `(extract(epoch from ${column}) * 1000)::bigint`
const kept = (alias: string) =>
  `'id', ${alias}.id, 'voidedAt', ${ms(`${alias}.voided_at`)}, 'voidReason', ${alias}.void_reason`
const dated = (instant: string, edtf: string) => `json_build_object('at', ${ms(instant)}, 'edtf', ${edtf})`
const list = (fields: string, from: string, order: string) =>
  `(select coalesce(json_agg(json_build_object(${fields}) order by ${order}), '[]') from ${from})`

const systems = list(
  `${kept('s')}, 'tag', s.tag, 'type', s.type, 'active', s.active, 'installedBy', s.installed_by,
   'installerName', s.installer_name, 'createdAt', ${ms('s.created_at')},
   'components', ${list(
     `${kept('c')}, 'kind', c.kind, 'model', c.model, 'serial', c.serial, 'place', c.place,
      'installed', ${dated('c.installed_at', 'c.installed_edtf')}, 'removed', ${dated('c.removed_at', 'c.removed_edtf')},
      'removalReason', c.removal_reason`,
     'system_component c where c.system_id = s.id',
     'c.id',
   )},
   'suctionPoints', ${list(
     `'id', u.id, 'name', u.name, 'foundationAreaId', u.foundation_area_id`,
     'suction_point u where u.system_id = s.id and u.voided_at is null and u.until is null',
     'u.id',
   )},
   'events', ${list(
     `${kept('e')}, 'kind', e.kind, 'when', ${dated('e.at', 'e.edtf')}, 'note', e.note`,
     'system_event e where e.system_id = s.id',
     'e.at, e.id',
   )},
   'gaugeReadings', ${list(
     `${kept('g')}, 'role', g.role, 'value', g.value, 'unit', g.unit, 'at', ${ms('g.at')}, 'readBy', g.read_by,
      'note', g.note`,
     'gauge_reading g where g.system_id = s.id',
     'g.at, g.id',
   )}`,
  'system s where s.property_id = $1',
  's.voided_at is not null, s.active desc, s.id',
)

const tests = list(
  `${kept('t')}, 'purpose', t.purpose, 'method', t.method, 'source', t.source, 'setAt', ${ms('t.set_at')},
   'pickedUpAt', ${ms('t.picked_up_at')}, 'sentToLabAt', ${ms('t.sent_to_lab_at')}, 'resultInAt', ${ms('t.result_in_at')},
   'createdAt', ${ms('t.created_at')},
   'withRecord', (select coalesce(json_agg(r.exposure_id order by x.position), '[]')
      from exposure x join series r on r.exposure_id = x.id where x.test_id = t.id and x.voided_at is null)`,
  'test t where t.property_id = $1',
  't.id',
)

// Mails go to a home by the link in them, or by the obligation they remind of.
const mails = list(
  `'id', m.id, 'kind', m.kind, 'subject', m.subject, 'toName', m.to_name, 'state', m.state, 'sentAt', ${ms('m.sent_at')},
   'createdAt', ${ms('m.created_at')}`,
  `mail m where m.id in (
     select x.id from homeowner_link l join mail x on x.link_id = l.id where l.property_id = $1
     union select n.mail_id from obligation o join notice n on n.obligation_id = o.id where o.property_id = $1)`,
  'm.created_at',
)

const history = sql(
  'property-history',
  `select ${systems} as systems, ${tests} as tests, ${mails} as mails,
   ${list(
     `${kept('k')}, 'number', k.number, 'complaint', k.complaint, 'reportedAt', ${ms('k.reported_at')},
      'reportedBy', k.reported_by, 'description', k.description, 'found', k.found, 'done', k.done, 'closedAt', ${ms('k.closed_at')}`,
     'callback k where k.property_id = $1',
     'k.reported_at',
   )} as callbacks,
   ${list(
     `${kept('v')}, 'purpose', v.purpose, 'startsAt', ${ms('v.starts_at')}, 'outcome', v.outcome, 'outcomeNote', v.outcome_note,
      'doneAt', ${ms('v.done_at')}, 'crew', (select coalesce(json_agg(w.name order by w.name), '[]')
         from visit_crew c join staff w on w.id = c.staff_id where c.visit_id = v.id)`,
     'visit v where v.property_id = $1',
     'v.starts_at',
   )} as visits,
   ${list(
     `${kept('n')}, 'subject', n.subject, 'text', n.text, 'photo', n.photo_sha256 is not null, 'by', n.by_name, 'at', ${ms('n.at')}`,
     'note n where n.property_id = $1',
     'n.at',
   )} as notes,
   ${list(
     `${kept('h')}, 'kind', h.kind, 'when', ${dated('h.at', 'h.edtf')}, 'note', h.note, 'version', h.version`,
     'home_event h where h.property_id = $1',
     'h.at',
   )} as events,
   ${list(
     `'id', r.id, 'kind', r.kind, 'receivedAt', ${ms('r.received_at')}, 'state', r.state`,
     'homeowner_report r where r.property_id = $1',
     'r.received_at',
   )} as reports,
   ${list(
     `${kept('u')}, 'kind', u.kind, 'outcome', u.outcome, 'backOn', u.back_on, 'note', u.note, 'at', ${ms('u.at')},
      'by', (select s.name from staff s where s.id = u.staff_id)`,
     'outreach u where u.property_id = $1',
     'u.at, u.id',
   )} as outreach,
   ${list(
     `'id', o.id, 'kind', o.kind, 'subject', o.subject, 'reason', o.reason,
      'awayTo', (select concat_ws(' ', p.street, nullif(p.unit, '')) from property p where p.id = o.into_id and p.id <> $1), 'madeAt', ${ms('o.made_at')},
      'undoneAt', ${ms('o.undone_at')}, 'undoReason', o.undo_reason`,
     'correction o where o.property_ids @> array[$1::uuid]',
     'o.made_at',
   )} as corrections`,
)

/** Everything that ever happened at a home, in one statement however much that is. Whether it may be seen is asked before. */
export const readHistory = async (db: Db, propertyId: string): Promise<HomeHistory> =>
  (await db.one<HomeHistory>(history, [propertyId]))!
