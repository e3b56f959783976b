import { linkTokenFor } from '../../src/platform/auth/link-token.ts'
import type { Person, Program } from './actors.ts'
import type { TestApp } from './test-app.ts'
import { aVisitor, type Visitor } from './visitor.ts'
import { day1, day3, type Home } from './world.ts'

/** What hangs on a mail: the mail of a result, the token of its link, and what the homeowner sent from its page. */
export type Mailed = { readonly mail: string; readonly token: string; readonly report: string }

const accept = async (program: Program, test: { id: string; version: number }) =>
  program.post(`/v1/tests/${test.id}/acceptance`).set('if-match', `"${test.version}"`).expect(200)

/** Records and accepts a result at a home, mails it to the owner, opens its link and sends `note` from the page. */
export async function aMailedHome(t: TestApp, program: Program, office: Person, home: Home, note: string) {
  const { body } = await program
    .post(`/v1/properties/${home.property}/tests`, {
      purpose: 'follow-up',
      method: 'activated-charcoal',
      setAt: day1,
      pickedUpAt: day3,
      closedSince: '2026-02-01T15:00:00Z',
      closedDuring: 'yes',
      resultInAt: '2026-02-10T12:00:00Z',
      exposures: [{ locationId: home.location, startAt: day1, stopAt: day3, result: { value: '4.0', unit: 'pCi/L' } }],
    })
    .expect(201)
  await accept(program, body.test)
  const mailed = await office.submit(`/tests/${body.test.id}/mail-result`).expect(303)
  const mail = String(mailed.headers.location).split('/').at(-1)!
  const { rows } = await t.db.pool.query('select link_id from mail where id = $1', [mail])
  const token = linkTokenFor(t.config.linkKeys, rows[0].link_id)
  const { visitor, address } = await throughLink(t, token)
  const sent = await visitor.send(`${address}/report`, { kind: 'alarm', 'alarm.what': 'water', 'alarm.note': note })
  if (sent.status !== 303) throw new Error(`report: ${sent.status} ${sent.text}`)
  const reports = await t.db.pool.query('select id from homeowner_report where property_id = $1', [home.property])
  return { mail, token, report: String(reports.rows[0].id) } satisfies Mailed
}

/** Follows a mailed link; gives the visitor with the page's cookie, and where the page is. */
export async function throughLink(t: TestApp, token: string): Promise<{ visitor: Visitor; address: string }> {
  const visitor = aVisitor(t.app)
  const address = String((await visitor.get(`/h/${token}`)).headers.location)
  await visitor.get(address)
  return { visitor, address }
}
