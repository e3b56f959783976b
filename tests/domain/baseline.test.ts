import { describe, expect, it } from 'vitest'
import { againstBaselineWords, type Baseline, baselineWords } from '../../src/domain/baseline/baseline.ts'

const startUp: Baseline = { value: '1.2', unit: 'in. w.c.', adopted: null }
const adopted: Baseline = { ...startUp, adopted: { on: '2026-03-03', by: 'Ann Berg' } }
const reading = (value: string, unit = 'in. w.c.') => ({ value, unit })

describe('a baseline', () => {
  it('says whether it was read at the start-up, or by whom and when it was adopted', () => {
    expect(baselineWords(startUp)).toBe('1.2 in. w.c. at the start-up')
    expect(baselineWords(adopted)).toBe('1.2 in. w.c., adopted on 3 March 2026 by Ann Berg, not a start-up reading')
    expect(baselineWords({ ...startUp, adopted: { on: '2026-03-03', by: '' } })).toBe(
      '1.2 in. w.c., adopted on 3 March 2026 (by whom is not known), not a start-up reading',
    )
  })

  it.each([
    ['1.1', '1.1 against 1.2: 0.1 in. w.c. lower than the start-up value'],
    ['1.20', 'the same as the start-up value'],
    ['1.3', '1.3 against 1.2: 0.1 in. w.c. higher than the start-up value'],
    ['-0.05', '-0.05 against 1.2: 1.25 in. w.c. lower than the start-up value'],
  ])('has a reading of %s held against it exactly', (value, words) => {
    expect(againstBaselineWords(startUp, reading(value))).toBe(words)
  })

  it('tells in the working that it was adopted', () => {
    expect(againstBaselineWords(adopted, reading('0.9'))).toBe(
      '0.9 against 1.2: 0.3 in. w.c. lower than the value adopted on 3 March 2026 by Ann Berg, not a start-up reading',
    )
  })

  it('is not compared with a reading in another unit', () => {
    expect(againstBaselineWords(startUp, reading('300', 'Pa'))).toBe(
      'in another unit than the start-up value: the two are not compared',
    )
  })
})
