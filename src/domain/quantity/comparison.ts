import Fraction from 'fraction.js'
import type { WorkingLine } from '../answers.ts'
import type { Qualifier, RadonUnit } from '../facts.ts'
import { type Exact, exact, roundHalfUp } from './exact.ts'
import { type Figure, figureText, inUnit } from './figure.ts'
import { exactText, fixedText } from './print-exact.ts'
import { converted } from './radon-unit.ts'

export type { Figure }

/** A limit in its own document's unit, words and rounding. */
export type Bar = {
  readonly value: string
  readonly unit: RadonUnit
  readonly operator: '>=' | '>'
  /** Decimals that the compared figure, and only it, is rounded to; null compares it unrounded. */
  readonly decimals: number | null
}
export type Comparison = {
  /** `over` means at or above for a `>=` limit and above for a `>` limit. */
  readonly outcome: 'under' | 'over' | 'cannot-tell'
  /** What was compared, in the limit's unit, rounded where the limit asks for it. */
  readonly compared: string
  /** How it came about; written out only for what decides. */
  readonly lines: () => readonly WorkingLine[]
}

type Edge = { readonly at: Exact; readonly inclusive: boolean }

const edges = new Map<string, Edge>()
const edgesAtMost = 1024

// The least unrounded value that counts as over: with one decimal, 4.0 is reached from 3.95. Limits are few.
function edgeOf(bar: Bar): Edge {
  const key = `${bar.operator}${bar.value} ${bar.decimals}`
  const known = edges.get(key)
  if (known) return known
  if (edges.size >= edgesAtMost) edges.clear()
  const edge = newEdge(bar)
  edges.set(key, edge)
  return edge
}

function newEdge(bar: Bar): Edge {
  const limit = exact(bar.value)
  if (bar.decimals === null) return { at: limit, inclusive: bar.operator === '>=' }
  const step = new Fraction(1n, 10n ** BigInt(bar.decimals))
  const steps = limit.div(step)
  const first = bar.operator === '>=' ? steps.ceil() : steps.floor().add(1)
  return { at: first.mul(step).sub(step.div(2)), inclusive: true }
}

function outcomeAt(value: Exact, qualifier: Qualifier, edge: Edge): Comparison['outcome'] {
  const order = value.compare(edge.at)
  if (qualifier === '<') return order <= 0 ? 'under' : 'cannot-tell'
  if (qualifier === '>') return order >= 0 ? 'over' : 'cannot-tell'
  return order > 0 || (order === 0 && edge.inclusive) ? 'over' : 'under'
}

const unders = { '>=': '<', '>': '≤' } as const
const overs = { '>=': '≥', '>': '>' } as const

/** The outcome of `compareWithBar` alone. */
export const outcomeWithBar = (figure: Figure, bar: Bar): Comparison['outcome'] =>
  outcomeAt(converted(figure.value, figure.unit, bar.unit), figure.qualifier, edgeOf(bar))

/** Holds a figure against a limit. The figure is converted to the limit's unit, never the limit to the figure's. */
export function compareWithBar(figure: Figure, bar: Bar): Comparison {
  const inItsUnit = inUnit(figure, bar.unit)
  const outcome = outcomeAt(inItsUnit.value, figure.qualifier, edgeOf(bar))
  const rounded = roundedTo(bar.decimals, inItsUnit)
  const compared = rounded ?? inItsUnit.asReported ?? exactText(inItsUnit.value)
  return {
    outcome,
    compared,
    lines() {
      const shown = rounded === null ? figureText(inItsUnit) : `${rounded} ${bar.unit}`
      return [
        ...(figure.unit === bar.unit ? [] : [conversionLine(figure, inItsUnit)]),
        ...(rounded === null ? [] : roundingLine(inItsUnit, bar.decimals ?? 0, shown)),
        { left: shown, relation: relationOf(outcome, bar), right: `${bar.value} ${bar.unit}`, note: null },
      ]
    },
  }
}

// A result below detection or over range is no number to round.
const roundedTo = (decimals: number | null, { value, qualifier }: Figure) =>
  decimals !== null && qualifier === '=' ? fixedText(value, decimals) : null

const conversionLine = (from: Figure, to: Figure): WorkingLine => ({
  left: figureText(from),
  relation: '=',
  right: figureText(to),
  note: '1 pCi/L = 37 Bq/m3',
})

function roundingLine(figure: Figure, decimals: number, shown: string): readonly WorkingLine[] {
  if (figure.value.equals(roundHalfUp(figure.value, decimals))) return []
  const note = `rounded once, half up, to ${decimals} decimal${decimals === 1 ? '' : 's'}`
  return [{ left: figureText(figure), relation: '→', right: shown, note }]
}

const relationOf = (outcome: Comparison['outcome'], { operator }: Bar) =>
  outcome === 'cannot-tell' ? '?' : outcome === 'over' ? overs[operator] : unders[operator]
