import type { HomeFacts, SeriesFacts } from '../domain/facts.ts'
import type { KeptObligation } from '../domain/reminder-round.ts'
import { type Db, epochMs, sql } from '../platform/db/client.ts'
import { setOfRules } from './load-policies.ts'

/** What is kept of a standing between two reckonings. */
export type KeptStanding = {
  readonly body: string
  readonly version: number
  readonly engineVersion: number
  readonly stale: boolean
}
/** An evaluation kept from last time, good only while its key matches what would go into it now. */
export type KeptEvaluation = { readonly testId: string; readonly key: string; readonly body: string }

export type LoadedHome = {
  /** `series` is empty in these facts wherever `seriesIds` names one: values are loaded only for tests that must be evaluated. */
  readonly facts: HomeFacts
  readonly seriesIds: ReadonlyMap<string, string>
  readonly evaluations: readonly KeptEvaluation[]
  readonly keptObligations: readonly KeptObligation[]
  readonly kept: KeptStanding | null
  /** Whether the home itself was voided. */
  readonly voided: boolean
}

type Row = {
  id: string
  zone: string
  jurisdiction: string
  buildingUse: HomeFacts['buildingUse']
  yearBuilt: number | null
  knownSince: number | null
  locations: HomeFacts['locations']
  systems: HomeFacts['systems']
  tests: (Omit<HomeFacts['tests'][number], 'exposures'> & {
    exposures: (HomeFacts['tests'][number]['exposures'][number] & { seriesId: string | null })[]
  })[]
  events: HomeFacts['events']
  evaluations: KeptEvaluation[]
  keptObligations: KeptObligation[]
  kept: KeptStanding | null
  voided: boolean
  rules: string
}

const locationJson = `json_build_object('id', l.id, 'name', l.name, 'floor', l.floor, 'livedIn', l.lived_in, 'roomKind', l.room_kind)`

// One statement for any number of homes: each sub-select is an index look-up by its parent. How many homes there are is
// hidden from the planner, which would otherwise plan anew each time: more work than one home's facts.
const homesFacts = sql(
  'standing-homes-facts',
  `select p.id, p.zone, p.jurisdiction, p.building_use as "buildingUse", p.year_built as "yearBuilt",
     ${epochMs('p.created_at')} as "knownSince",
     (select coalesce(json_agg(${locationJson} order by l.position, l.id), '[]')
        from test_location l where l.property_id = p.id and l.voided_at is null) as locations,
     (select coalesce(json_agg(json_build_object(
          'id', s.id, 'type', s.type, 'active', s.active, 'installedBy', s.installed_by,
          'events', (select coalesce(json_agg(json_build_object('id', e.id, 'kind', e.kind,
                'when', json_build_object('at', ${epochMs('e.at')}, 'edtf', e.edtf)) order by e.at, e.id), '[]')
              from system_event e where e.system_id = s.id and e.voided_at is null),
          'components', (select coalesce(json_agg(json_build_object('id', c.id, 'kind', c.kind, 'model', c.model,
                'installed', json_build_object('at', ${epochMs('c.installed_at')}, 'edtf', c.installed_edtf),
                'removed', case when c.removed_at is null and c.removed_edtf is null then null
                  else json_build_object('at', ${epochMs('c.removed_at')}, 'edtf', c.removed_edtf) end) order by c.id), '[]')
              from system_component c where c.system_id = s.id and c.voided_at is null)) order by s.id), '[]')
        from system s where s.property_id = p.id and s.voided_at is null) as systems,
     (select coalesce(json_agg(json_build_object(
          'id', t.id, 'version', t.version, 'systemId', t.system_id, 'purpose', t.purpose, 'method', t.method,
          'source', t.source, 'setAt', ${epochMs('t.set_at')}, 'pickedUpAt', ${epochMs('t.picked_up_at')},
          'sentToLabAt', ${epochMs('t.sent_to_lab_at')}, 'resultInAt', ${epochMs('t.result_in_at')},
          'closedSince', ${epochMs('t.closed_since')}, 'closedDuring', t.closed_during, 'severeWeather', t.severe_weather,
          'systemRunning', t.system_running, 'tampering', t.tampering, 'acceptedAt', ${epochMs('t.accepted_at')},
          'exposures', (select coalesce(json_agg(json_build_object(
                'id', x.id, 'location', case when l.id is null then null else ${locationJson} end,
                'role', x.role, 'pairKey', x.pair_key, 'startAt', ${epochMs('x.start_at')}, 'stopAt', ${epochMs('x.stop_at')},
                'placement', json_build_object('heightCm', x.height_cm, 'fromOpeningCm', x.from_opening_cm,
                  'fromExteriorWallCm', x.from_exterior_wall_cm, 'fromHeatCm', x.from_heat_cm, 'fromObjectCm', x.from_object_cm),
                'deviceId', x.device_id, 'againstRecords', nullif(x.against_records, ''),
                'calibrations', (select coalesce(json_agg(json_build_object('calibratedOn', c.calibrated_on, 'validUntil', c.valid_until)
                    order by c.calibrated_on, c.id), '[]') from calibration c where c.device_id = x.device_id and c.voided_at is null),
                'lotExpiresOn', (select d.expires_on from device d where d.id = x.device_id),
                'result', case when x.value is null then null else json_build_object('value', x.value, 'unit', x.unit,
                  'qualifier', x.qualifier, 'uncertainty', x.uncertainty) end,
                'series', null, 'seriesId', r.id) order by x.position, x.id), '[]')
              from exposure x left join test_location l on l.id = x.location_id left join series r on r.exposure_id = x.id
             where x.test_id = t.id and x.voided_at is null)) order by t.id), '[]')
        from test t where t.property_id = p.id and t.voided_at is null) as tests,
     (select coalesce(json_agg(json_build_object('id', h.id, 'kind', h.kind,
          'when', json_build_object('at', ${epochMs('h.at')}, 'edtf', h.edtf)) order by h.at, h.id), '[]')
        from home_event h where h.property_id = p.id and h.voided_at is null) as events,
     (select coalesce(json_agg(json_build_object('testId', v.test_id, 'key', v.key, 'body', v.body)), '[]')
        from test_evaluation v join test t on t.id = v.test_id where t.property_id = p.id) as evaluations,
     (select coalesce(json_agg(json_build_object('kind', o.kind, 'causeId', o.cause_id, 'round', o.round, 'dueAt', ${epochMs('o.due_at')})), '[]')
        from obligation o where o.property_id = p.id) as "keptObligations",
     (select json_build_object('body', k.body, 'version', k.version, 'engineVersion', k.engine_version,
          'stale', k.stale_since is not null)
        from standing k where k.property_id = p.id) as kept,
     p.voided_at is not null as voided, (${setOfRules}) as rules
   from property p where p.id = any(array(select unnest($1::uuid[]))) order by p.id`,
)

const seriesOf = sql(
  'standing-series',
  `select id, ${epochMs('start_at')} as "startAt", interval_s as "intervalS", unit, scale, "values", offsets_s as "offsetsS",
     device_corrected_first_hours as "deviceCorrectedFirstHours"
   from series where id = any($1::uuid[])`,
)

export type LoadedHomes = {
  readonly homes: readonly LoadedHome[]
  /** Which rule sets are published. */
  readonly rules: string
}

/** The facts of each home, in id order: one statement, however many homes. Voided facts stay out. */
export async function loadHomes(db: Db, propertyIds: readonly string[]): Promise<LoadedHomes> {
  const rows = await db.rows<Row>(homesFacts, [propertyIds])
  return { homes: rows.map(loaded), rules: rows[0]?.rules ?? '' }
}

function loaded(row: Row): LoadedHome {
  const seriesIds = new Map<string, string>()
  const tests = row.tests.map(test => ({
    ...test,
    exposures: test.exposures.map(({ seriesId, ...exposure }) => {
      if (seriesId) seriesIds.set(exposure.id, seriesId)
      return exposure
    }),
  }))
  const facts: HomeFacts = {
    propertyId: row.id,
    zone: row.zone,
    jurisdiction: row.jurisdiction,
    buildingUse: row.buildingUse,
    yearBuilt: row.yearBuilt,
    knownSince: row.knownSince,
    locations: row.locations,
    systems: row.systems,
    tests,
    events: row.events,
  }
  return {
    facts,
    seriesIds,
    evaluations: row.evaluations,
    keptObligations: row.keptObligations,
    kept: row.kept,
    voided: row.voided,
  }
}

/** The records with these ids, by id. */
export async function loadSeries(db: Db, ids: readonly string[]): Promise<Map<string, SeriesFacts>> {
  if (ids.length === 0) return new Map()
  const rows = await db.rows<SeriesFacts & { id: string }>(seriesOf, [ids])
  return new Map(rows.map(({ id, ...series }) => [id, series]))
}
