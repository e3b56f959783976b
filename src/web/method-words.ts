import type { TestMethod } from '../domain/facts.ts'

/** How radon was measured, in words that follow a noun: "retest, alpha track". */
export const methodWords: Record<TestMethod, string> = {
  'continuous-monitor': 'continuous monitor',
  'activated-charcoal': 'activated charcoal',
  electret: 'electret ion chamber',
  'alpha-track': 'alpha track',
  'liquid-scintillation': 'liquid scintillation',
  unknown: 'method not known',
}

export const isMethod = (text: string): text is TestMethod => Object.hasOwn(methodWords, text)
