import { seen, seenSql } from '../../platform/auth/seen.ts'
import { at, type Db, epochMs, sql, type Tx } from '../../platform/db/client.ts'
import { listStatement } from '../../platform/db/list-statement.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import { baselineSql } from '../../standing/baseline.ts'
import type { SystemColumns, SystemRow } from './rows.ts'

type Who = Pick<Act, 'actor' | 'now'>

const visible = (n: number) => seenSql('s.property_id', n)

const columns = `s.id, s.property_id as "propertyId", s.tag, s.type, s.active, s.installed_by as "installedBy",
  s.installer_name as "installerName", s.note, s.version, s.created_at as "createdAt", s.updated_at as "updatedAt",
  s.voided_at as "voidedAt", s.void_reason as "voidReason", p.zone,
  (select coalesce(json_agg(json_build_object('id', c.id, 'kind', c.kind, 'model', c.model, 'serial', c.serial,
       'lot', c.lot, 'place', c.place, 'installed', json_build_object('at', ${epochMs('c.installed_at')}, 'edtf', c.installed_edtf),
       'removed', case when c.removed_at is null and c.removed_edtf is null then null
         else json_build_object('at', ${epochMs('c.removed_at')}, 'edtf', c.removed_edtf) end,
       'removalReason', c.removal_reason, 'note', c.note, 'version', c.version) order by c.installed_at, c.id), '[]')
     from system_component c where c.system_id = s.id and c.voided_at is null) as components,
  (select coalesce(json_agg(json_build_object('id', o.id, 'name', o.name, 'foundationAreaId', o.foundation_area_id,
       'since', ${epochMs('o.since')}, 'until', ${epochMs('o.until')}, 'note', o.note) order by o.since, o.id), '[]')
     from suction_point o where o.system_id = s.id and o.voided_at is null) as "suctionPoints",
  (select coalesce(json_agg(json_build_object('id', e.id, 'kind', e.kind,
       'when', json_build_object('at', ${epochMs('e.at')}, 'edtf', e.edtf), 'note', e.note) order by e.at, e.id), '[]')
     from system_event e where e.system_id = s.id and e.voided_at is null) as events,
  (select coalesce(json_agg(json_build_object('id', g.id, 'role', g.role, 'value', g.value, 'unit', g.unit,
       'at', ${epochMs('g.at')}, 'readBy', g.read_by, 'note', g.note) order by g.at, g.id), '[]')
     from gauge_reading g where g.system_id = s.id and g.voided_at is null) as "gaugeReadings",
  ${baselineSql('s.id')} as baseline`

const byId = sql(
  'system-by-id',
  `select ${columns} from system s join property p on p.id = s.property_id where s.id = $1 and ${visible(2)}`,
)

/** The system with its parts as they are dated, or the 404 it shares with those that are not this actor's. */
export async function readSystem(db: Db, who: Who, systemId: string): Promise<SystemRow> {
  const system = await db.one<SystemRow>(byId, [systemId, ...seen(who.actor, who.now)])
  if (!system) throw notFound('system')
  return system
}

const versionById = sql('system-version', `select s.version from system s where s.id = $1 and ${visible(2)}`)

/** The version of the record alone, under the same permission. */
export async function systemVersion(db: Db, who: Who, systemId: string): Promise<number> {
  const system = await db.one<{ version: number }>(versionById, [systemId, ...seen(who.actor, who.now)])
  if (!system) throw notFound('system')
  return system.version
}

const lock = sql(
  'system-lock',
  `select s.id from system s where s.id = $1 and s.voided_at is null and ${visible(2)} for update`,
)

/** Locks a system that is to be changed and reads it; a voided one is not there to change. */
export async function lockSystem(tx: Tx, act: Act, systemId: string): Promise<SystemRow> {
  if (!(await tx.one(lock, [systemId, ...seen(act.actor, act.now)]))) throw notFound('system')
  return readSystem(tx, act, systemId)
}

type SystemFilter = { readonly propertyId?: string; readonly tag?: string; readonly before?: string }
const list = listStatement<SystemFilter>(
  'system-list',
  { limit: 1, taken: 5 },
  { propertyId: n => `s.property_id = $${n}`, tag: n => `s.tag = $${n}`, before: n => `s.id < $${n}` },
  filters => `select ${columns} from system s join property p on p.id = s.property_id
    where ${visible(2)} ${filters} order by s.id desc`,
)

/** Newest first, keyset by id; one more than `limit` tells that more follow. */
export function listSystems(db: Db, who: Who, { limit, ...filter }: SystemFilter & { readonly limit: number }) {
  const { statement, values } = list(filter)
  return db.rows<SystemRow>(statement, [limit + 1, ...seen(who.actor, who.now), ...values])
}

const insert = sql(
  'system-insert',
  `insert into system (id, property_id, tag, type, active, installed_by, installer_name, note, created_at, updated_at)
   select s.id, s."propertyId", s.tag, s.type, s.active, s."installedBy", s."installerName", s.note, $2, $2
     from jsonb_to_recordset($1::jsonb) as s(id uuid, "propertyId" uuid, tag text, type text, active boolean,
       "installedBy" text, "installerName" text, note text)`,
)
export type SystemInsert = SystemColumns & { readonly id: string; readonly propertyId: string }
export const insertSystems = (tx: Tx, now: number, systems: readonly SystemInsert[]) =>
  tx.rows(insert, [
    JSON.stringify(
      systems.map(({ id, propertyId, tag, type, active, installedBy, installerName, note }) => ({
        ...{ id, propertyId, tag, type, active, installedBy, installerName, note },
      })),
    ),
    at(now),
  ])

const update = sql(
  'system-update',
  `update system set tag = $2, type = $3, active = $4, installed_by = $5, installer_name = $6, note = $7,
     version = version + 1, updated_at = $8 where id = $1`,
)
export const updateSystem = (tx: Tx, now: number, systemId: string, system: SystemColumns) =>
  tx.rows(update, [
    systemId,
    system.tag,
    system.type,
    system.active,
    system.installedBy,
    system.installerName,
    system.note,
    at(now),
  ])

// A part that is added or changed makes a new version of the system it belongs to.
const touch = sql(
  'system-touch',
  `update system set version = version + 1, updated_at = $2 where id = any($1::uuid[])
   returning id, property_id as "propertyId", version`,
)
export type SystemVersion = { readonly id: string; readonly propertyId: string; readonly version: number }
export const touchSystems = (tx: Tx, now: number, ids: readonly string[]) =>
  tx.rows<SystemVersion>(touch, [ids, at(now)])

const markVoided = sql(
  'system-void',
  `update system set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2
    where id = any($1::uuid[]) and voided_at is null returning id, property_id as "propertyId", version`,
)
export const markSystemsVoided = (tx: Tx, now: number, ids: readonly string[], reason: string) =>
  tx.rows<SystemVersion>(markVoided, [ids, at(now), reason])
