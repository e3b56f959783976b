import type { HomeFacts } from '../../src/domain/facts.ts'
import { aHome, anExposure, aSystem, aTest, basement, bedroom } from '../../tests/support/homes.ts'

const years = [2016, 2018, 2020, 2022, 2024]

/** Ten years of a home with a system: tested above the level, mitigated, retested every two years with a pair. */
export function tenYearHome(more: Partial<HomeFacts> = {}): HomeFacts {
  const retests = years.map((year, i) =>
    aTest(`test-${year}`, `${year}-03-12T15:00:00Z`, [
      anExposure(`test-${year}-a`, `${(1.8 + i * 0.2).toFixed(1)} pCi/L`, { pairKey: 'pair' }),
      anExposure(`test-${year}-b`, `${(1.9 + i * 0.2).toFixed(1)} pCi/L`, { pairKey: 'pair' }),
      anExposure(`test-${year}-c`, '0.9 pCi/L', { location: bedroom }),
    ]),
  )
  return aHome({
    systems: [aSystem('2015-06-01T15:00:00Z')],
    tests: [
      aTest('test-first', '2015-04-10T15:00:00Z', [anExposure('test-first-a', '9.4 pCi/L', { location: basement })]),
      aTest('test-post', '2015-06-08T15:00:00Z', '1.6 pCi/L', { purpose: 'post-mitigation' }),
      ...retests,
    ],
    ...more,
  })
}
