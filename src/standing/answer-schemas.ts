/** The API's shape of what the reckoning answers (domain/answers.ts), for every route that shows it. */
import { z } from 'zod'
import { id, instantOut, localDay } from '../platform/http/scalars.ts'

const radonUnit = z.enum(['pCi/L', 'Bq/m3'])
const compared = z
  .object({ value: z.string(), unit: z.string(), qualifier: z.enum(['=', '<', '>']) })
  .meta({ id: 'ComparedQuantity' })

export const ruleRef = z
  .object({
    policyCode: z.string(),
    policyFrom: localDay,
    rule: z.string(),
    instrument: z.string(),
    clause: z.string(),
    year: z.number().int().nullable(),
    status: z.enum(['checked', 'unverified']),
  })
  .meta({ id: 'RuleRef', description: 'The rule that decided, with its instrument and clause' })

export const working = z
  .object({
    title: z.string(),
    inputs: z.array(z.object({ label: z.string(), value: z.string() })),
    lines: z.array(
      z.object({ left: z.string(), relation: z.string(), right: z.string(), note: z.string().nullable() }),
    ),
    rule: ruleRef.nullable(),
    outcome: z.string(),
  })
  .meta({ id: 'Working', description: 'How an answer came about; a reader can redo it with a pencil' })

const finding = z
  .object({
    code: z.string(),
    exposureId: id.nullable(),
    at: instantOut.nullable(),
    allowed: z.string(),
    found: z.string(),
    effect: z.enum(['invalidates', 'warns']),
    rule: ruleRef.nullable(),
  })
  .meta({ id: 'Finding' })

const exposureAnswer = z.object({
  exposureId: id,
  locationId: id.nullable(),
  locationName: z.string(),
  floor: z.number().int().nullable(),
  livedIn: z.boolean().nullable(),
  role: z.string(),
  pairKey: z.string().nullable(),
  result: z.object({ value: z.string(), unit: radonUnit, qualifier: z.enum(['=', '<', '>']) }).nullable(),
  uncertainty: z.string().nullable(),
  fromSeries: z.boolean(),
  usableFrom: instantOut.nullable(),
  usableTo: instantOut.nullable(),
  leftOut: z.array(z.object({ from: instantOut, to: instantOut, why: z.string() })),
  working: working.nullable(),
})

const outcome = z.enum(['below', 'at-or-above', 'needs-follow-up', 'disagreement', 'undetermined'])

export const evaluatedTestOut = z
  .object({
    testId: id,
    testVersion: z.number().int(),
    systemId: id.nullable(),
    purpose: z.string(),
    method: z.string(),
    stage: z.enum(['planned', 'set', 'picked-up', 'at-laboratory', 'result-in']),
    startAt: instantOut.nullable(),
    stopAt: instantOut.nullable(),
    term: z.enum(['short', 'long']).nullable(),
    findings: z.array(finding),
    validity: z.enum(['valid', 'valid-with-notes', 'invalid']).nullable(),
    exposures: z.array(exposureAnswer),
    workings: z.array(working),
    outcome: outcome.nullable(),
    accepted: z.boolean(),
  })
  .meta({ id: 'EvaluatedTest' })

const verdict = z.object({
  outcome,
  reason: z.string().nullable(),
  settledBy: z.string().nullable(),
  level: z
    .object({
      label: z.string(),
      value: z.string(),
      unit: radonUnit,
      operator: z.enum(['>=', '>']),
      binding: z.boolean(),
    })
    .nullable(),
  tier: z.string().nullable(),
  compared: compared.nullable(),
  testIds: z.array(id),
  perLocation: z.array(
    z.object({
      locationId: id.nullable(),
      locationName: z.string(),
      compared,
      outcome,
    }),
  ),
  working,
})

const obligation = z
  .object({
    kind: z.string(),
    causeId: id,
    earliestOn: localDay.nullable(),
    dueOn: localDay,
    dueAt: instantOut,
    remindAt: z.array(instantOut),
    owedBy: z.enum(['homeowner', 'company']),
    recommended: z.boolean(),
    because: z.array(z.object({ text: z.string(), rule: ruleRef.nullable() })),
    working,
  })
  .meta({ id: 'Obligation' })

export const standingOut = z
  .object({
    propertyId: id,
    zone: z.string(),
    jurisdiction: z.string(),
    buildingUse: z.string(),
    system: z.enum(['none', 'not-started', 'running', 'off', 'unknown']),
    verdict,
    tests: z.array(evaluatedTestOut),
    obligations: z.array(obligation),
    judgedBy: z.object({ code: z.string(), from: localDay }).nullable(),
    owedBy: z.object({ code: z.string(), from: localDay }),
    nextChangeAt: instantOut.nullable(),
    version: z.number().int(),
    beingRecomputed: z.boolean(),
    caution: z.string().meta({
      description: 'To be shown with every result. Read by itself, a standing adds the company’s own words.',
    }),
  })
  .meta({ id: 'Standing' })
