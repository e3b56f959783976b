import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { endGrant, insertGrant } from './grant-queries.ts'
import { lockApp } from './queries.ts'

/** Lets an app see a home, from now unless said otherwise, until an instant or for good. Gives the grant's id. */
export async function grantHome(
  tx: Tx,
  act: Act,
  appId: string,
  grant: { propertyId: string; from?: number; until: number | null },
): Promise<string> {
  if (!(await lockApp(tx, appId))) throw notFound('app')
  const id = newId()
  if (!(await insertGrant(tx, appId, { id, from: act.now, ...grant }))) throw notFound('property')
  await noted(tx, act, appId, grant.propertyId)
  return id
}

/** Takes a home away from an app, from now on. */
export async function withdrawHome(tx: Tx, act: Act, appId: string, grantId: string): Promise<void> {
  const ended = await endGrant(tx, act.now, appId, grantId)
  if (!ended) throw notFound('grant')
  await noted(tx, act, appId, ended.propertyId)
}

const noted = (tx: Tx, act: Act, appId: string, propertyId: string) =>
  recordWrite(tx, act, { action: 'correct', noun: 'app', id: appId, propertyId, fields: ['homes'] })
