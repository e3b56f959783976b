import { type Db, sql } from '../../platform/db/client.ts'
import type { DeviceRow } from './queries.ts'

/** A device as a line of the list: where it is, and the last calibration that holds. */
export type DeviceLine = Pick<
  DeviceRow,
  'id' | 'kind' | 'method' | 'model' | 'serial' | 'lot' | 'kitCount' | 'expiresOn'
> & {
  readonly validUntil: string | null
  readonly outAt: { readonly propertyId: string; readonly address: string; readonly since: number | null } | null
  readonly retired: boolean
}

const lines = sql(
  'device-lines',
  `select d.id, d.kind, d.method, d.model, d.serial, d.lot, d.kit_count as "kitCount", d.expires_on as "expiresOn",
     d.retired_at is not null as retired,
     (select max(c.valid_until) from calibration c where c.device_id = d.id and c.voided_at is null) as "validUntil",
     (select json_build_object('propertyId', p.id, 'since', (extract(epoch from t.set_at) * 1000)::bigint,
          'address', p.street || ', ' || p.city)
        from exposure x join test t on t.id = x.test_id join property p on p.id = t.property_id
        where d.kind = 'monitor' and x.device_id = d.id and x.voided_at is null and t.voided_at is null
          and t.set_at is not null and t.picked_up_at is null and t.result_in_at is null
        order by t.set_at desc limit 1) as "outAt"
   from device d where d.voided_at is null order by d.kind desc, d.retired_at nulls first, d.serial, d.lot limit 200`,
)
/** Monitors, then lots; those in use first. */
export const deviceLines = (db: Db) => db.rows<DeviceLine>(lines)
