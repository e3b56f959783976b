import { writeFileSync } from 'node:fs'
import { it } from 'vitest'
import { loadDemo } from '../seed/load-demo.ts'
import { aBrowser, desk, openPage, phone } from './support/browser.ts'
import { axeFaults, sidewaysOverflow, smallTargets, structureFaults } from './support/page-checks.ts'
import { buildTestApp } from './support/test-app.ts'

it('looks', async () => {
  const service = await buildTestApp({ at: '2026-11-25T15:00:00Z', empty: true })
  await loadDemo(service.db, service.clock)
  const owner = await service.as.owner()
  const browser = await aBrowser()
  const homes = (
    await service.db.pool.query(
      `select p.id, p.street, k.outcome from property p join standing k on k.property_id = p.id order by p.street`,
    )
  ).rows
  const log: string[] = [JSON.stringify(homes)]
  const person = (await service.db.pool.query(`select customer_id from ownership limit 1`)).rows[0].customer_id
  const h = homes[Number(process.env.HOME_N ?? 0)]!.id
  const all: Record<string, string> = {
    homes: '/homes',
    home: `/homes/${h}`,
    new: '/homes/new',
    change: `/homes/${h}/change`,
    rooms: `/homes/${h}/rooms`,
    around: `/homes/${h}/people`,
    events: `/homes/${h}/events`,
    revisions: `/homes/${h}/changes`,
    note: `/homes/${h}/notes`,
    people: '/people',
    person: `/people/${person}`,
    personnew: '/people/new',
    search: '/search?q=lane',
    nothing: '/search?q=qqqqxx',
    rules: '/rules',
    rule: '/rules/US',
  }
  const wanted = (process.env.PAGES ?? Object.keys(all).join(',')).split(',')
  for (const [size, viewport] of [
    ['phone', phone],
    ['desk', desk],
  ] as const) {
    for (const scheme of size === 'phone' ? (['light'] as const) : (['light'] as const)) {
      for (const name of wanted) {
        const { page, context, complaints } = await openPage(browser, service.url, {
          viewport,
          scheme,
          cookies: [owner.cookie],
        })
        const answer = await page.goto(service.url + all[name]!)
        await page.screenshot({ path: `/tmp/props/shot-${name}-${size}.png`, fullPage: true })
        log.push(
          `${name} ${size} ${answer?.status()} ${(await page.content()).length}`,
          ...[
            ...(await axeFaults(page)),
            ...(await structureFaults(page)),
            ...(await sidewaysOverflow(page)),
            ...(size === 'phone' ? await smallTargets(page) : []),
            ...complaints,
          ].map(x => '   ' + x),
        )
        await context.close()
      }
    }
  }
  writeFileSync('/tmp/props/look.log', log.join('\n'))
  await browser.close()
  await service.close()
}, 300_000)
