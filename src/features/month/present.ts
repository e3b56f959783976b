import type { z } from 'zod'
import { instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import type { Outreach } from './outreach-queries.ts'
import type { MonthHome, MonthItem } from './queries.ts'
import type { CallOutcome, dueHomeOut, outreachOut } from './schemas.ts'

export const presentOutreach = (row: Outreach): z.output<typeof outreachOut> => ({
  id: row.id,
  propertyId: row.propertyId,
  kind: row.kind,
  outcome: row.kind === 'called' ? (row.outcome as CallOutcome) : null,
  backOn: row.backOn,
  note: row.note,
  by: row.by,
  at: instantText(row.at),
  version: row.version,
  voidedAt: instantTextOrNull(row.voidedAt),
  voidReason: row.voidReason,
})

const presentItem = (item: MonthItem): z.output<typeof dueHomeOut>['items'][number] =>
  item.kind === 'retest'
    ? { kind: item.kind, causeId: item.causeId, dueOn: item.dueOn }
    : {
        kind: item.kind,
        componentId: item.causeId,
        reach: item.reach,
        installed: { at: instantTextOrNull(item.installed.at), approx: item.installed.edtf },
      }

/** A home of the month's list as the API shows it: whom to call is read with the home's people. */
export const presentDueHome = (home: MonthHome): z.output<typeof dueHomeOut> => ({
  propertyId: home.id,
  street: home.street,
  unit: home.unit,
  city: home.city,
  region: home.region,
  postcode: home.postcode,
  state: home.state,
  items: home.items.map(presentItem),
  booked: home.visit?.serves ? { visitId: home.visit.visitId, startsAt: instantText(home.visit.startsAt) } : null,
  callAgainOn: home.called?.backOn ?? null,
  putOffTo: home.putOff?.backOn ?? null,
  remindersHeld: home.held,
})
