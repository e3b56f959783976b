import { install } from './install.ts'
import { kitTest, type Teller } from './teller.ts'

/** An old system of which the seller knew only the year, and a test of that same year: which came first is open. */
export async function dale(t: Teller): Promise<void> {
  const daysAgo = 5 * 365
  const tested = new Date(t.at(daysAgo))
  await install(t, {
    daysAgo: 30,
    roughly: String(tested.getUTCFullYear()),
    by: 'another',
    installer: 'a company that has closed',
    gauge: null,
  })
  await kitTest(t, {
    purpose: 'real-estate',
    daysAgo,
    days: 3,
    source: 'other-company',
    results: { 'Family room': '5.2' },
  })
}
