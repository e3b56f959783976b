import type { EvaluatedTest } from '../answers.ts'
import type { LocalDay } from '../facts.ts'
import type { Level, ResolvedPolicy } from '../policy/resolved-policy.ts'
import { type Comparison, compareWithBar } from '../quantity/comparison.ts'
import { barOf } from './compare-with-level.ts'
import type { TestPlace } from './test-places.ts'
import { type Point, pointAt } from './test-points.ts'

/** A test with the law of its stop day and that day in the home's zone. */
export type JudgedTest = { readonly test: EvaluatedTest; readonly stopOn: LocalDay; readonly law: ResolvedPolicy }

/**
 * One test's figure at one place, under the law of the test's day. It is worked out when it is asked for: the newest
 * test of a place mostly decides alone, and of the years before nobody asks.
 */
export class Reading {
  readonly test: EvaluatedTest
  readonly stopOn: LocalDay
  readonly law: ResolvedPolicy
  readonly level: Level
  readonly #place: TestPlace
  #point: Point | null = null
  #comparison: Comparison | null = null

  constructor({ test, stopOn, law }: JudgedTest, level: Level, place: TestPlace) {
    this.test = test
    this.stopOn = stopOn
    this.law = law
    this.level = level
    this.#place = place
  }

  get point(): Point {
    this.#point ??= pointAt(this.#place, this.test, this.law, this.level)
    return this.#point
  }

  get comparison(): Comparison {
    this.#comparison ??= compareWithBar(this.point.figure, barOf(this.level, this.law))
    return this.#comparison
  }
}
