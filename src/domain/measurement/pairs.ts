import type { ExposureAnswer, Finding, RuleRef, Working, WorkingLine } from '../answers.ts'
import type { TestFacts } from '../facts.ts'
import type { Rules } from '../policy/resolved-policy.ts'
import { type Exact, exact } from '../quantity/exact.ts'
import { compareFigures, type Figure, figureOf, figureText, inUnit, meanFigure } from '../quantity/figure.ts'
import { shownText } from '../quantity/print-exact.ts'
import { converted } from '../quantity/radon-unit.ts'
import { exposureAnswerOf } from './exposure-answer.ts'
import { warns } from './finding.ts'
import { counts, type TestContext } from './test-context.ts'

/** Devices that stood side by side, and what their results make together. */
export type Pair = {
  readonly pairKey: string
  readonly answers: readonly ExposureAnswer[]
  readonly figures: readonly Figure[]
  /** The exact average; null when one is below detection and another over range. */
  readonly mean: Figure | null
}

export type PairAgreement = {
  /** 100 · |a − b| ÷ mean; null below the mean from which it is asked. */
  readonly percent: Exact | null
  readonly grade: 'in-control' | 'warning' | 'out-of-control' | 'not-judged'
  readonly allowed: string
  readonly found: string
  readonly rule: RuleRef | null
}

/** Complete pairs among the answers that count. Results in two units are compared in the first one's. */
export function pairsOf(answers: readonly ExposureAnswer[]): readonly Pair[] {
  const keys = [...new Set(answers.flatMap(answer => answer.pairKey ?? []))]
  return keys.flatMap(pairKey => {
    const side = answers.filter(answer => answer.pairKey === pairKey && answer.result !== null)
    if (side.length < 2) return []
    const { unit } = side[0]!.result!
    const figures = side.map(answer => inUnit(figureOf(answer.result!), unit))
    return [{ pairKey, answers: side, figures, mean: meanFigure(figures, unit) }]
  })
}

const spreadOf = ({ figures }: Pair): Exact => {
  const sorted = [...figures].sort(compareFigures)
  return sorted.at(-1)!.value.sub(sorted[0]!.value)
}

/** How well a pair agrees, by the limits for its mean. */
export function agreementOf(pair: Pair, rules: Rules): PairAgreement {
  const none: PairAgreement = { percent: null, grade: 'not-judged', allowed: '', found: '', rule: null }
  if (pair.mean?.qualifier === '<') return { ...none, grade: 'in-control', found: 'below detection' }
  if (pair.mean?.qualifier !== '=') return none
  const { value: average, unit } = pair.mean
  const mean = converted(average, unit, 'pCi/L')
  const absolute = rules.pairAbsoluteDifference
  if (absolute && mean.compare(exact(absolute.value.meanUnder)) < 0) {
    const difference = converted(spreadOf(pair), unit, absolute.value.unit)
    const grade = difference.compare(exact(absolute.value.atMost)) <= 0 ? 'in-control' : 'out-of-control'
    const allowed = `apart by at most ${absolute.value.atMost} ${absolute.value.unit}`
    return {
      percent: null,
      grade,
      allowed,
      found: `${shownText(difference)} ${absolute.value.unit}`,
      rule: absolute.ref,
    }
  }
  const bands = rules.pairDifference
  const band = bands?.value
    .filter(({ meanFrom }) => mean.compare(exact(meanFrom)) >= 0)
    .sort((a, b) => exact(b.meanFrom).compare(exact(a.meanFrom)))[0]
  if (!bands || !band || average.compare(0) === 0) return none
  const percent = spreadOf(pair).div(average).mul(100)
  const beyond = (limit: number) => percent.compare(exact(String(limit))) >= 0
  const grade = beyond(band.controlAtPercent)
    ? 'out-of-control'
    : beyond(band.warnsAtPercent)
      ? 'warning'
      : 'in-control'
  const allowed = `relative difference under ${band.warnsAtPercent} % (control ${band.controlAtPercent} %)`
  return { percent, grade, allowed, found: `${shownText(percent, 2)} %`, rule: bands.ref }
}

export function pairFindings(test: TestFacts, context: TestContext): readonly Finding[] {
  const answers = test.exposures.filter(counts).map(exposure => exposureAnswerOf(exposure, test, context))
  return pairsOf(answers).flatMap(pair => {
    const { grade, allowed, found, rule } = agreementOf(pair, context.policy.rules)
    if (grade !== 'warning' && grade !== 'out-of-control') return []
    const code = grade === 'warning' ? 'pair-difference' : 'pair-out-of-control'
    return [warns(code, { exposureId: pair.answers[0]!.exposureId, allowed, found, rule })]
  })
}

const GRADES: Readonly<Record<PairAgreement['grade'], string>> = {
  'in-control': 'they agree',
  warning: 'they agree poorly: look into it',
  'out-of-control': 'they do not agree: find out why',
  'not-judged': 'not judged',
}

/** The average of a pair and how well it agrees, as a short calculation. */
export function pairWorking(pair: Pair, rules: Rules): Working {
  const agreement = agreementOf(pair, rules)
  const { figures, mean } = pair
  const lines: WorkingLine[] = []
  if (mean) {
    const left = `(${figures.map(figureText).join(' + ')}) / ${figures.length}`
    lines.push({ left, relation: '=', right: figureText(mean), note: 'exact average of the pair' })
  }
  if (mean && agreement.percent) {
    const left = `100 × ${shownText(spreadOf(pair))} / ${shownText(mean.value)}`
    lines.push({ left, relation: '=', right: agreement.found, note: 'relative percent difference' })
  }
  const inputs = pair.answers.map((answer, i) => ({
    label: answer.locationName || `Device ${i + 1}`,
    value: figureText(figureOf(answer.result!)),
  }))
  return { title: 'Two devices side by side', inputs, lines, rule: agreement.rule, outcome: GRADES[agreement.grade] }
}
