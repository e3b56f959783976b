/** Why somebody drives to a home. */
export const visitPurposeWords = {
  bid: 'Bid',
  diagnostics: 'Diagnostics',
  installation: 'Installation',
  'return-trip': 'Return trip',
  'set-device': 'Set a device',
  'pick-up-device': 'Pick up a device',
  'gauge-check': 'Gauge check',
  callback: 'Callback',
  'paid-service-call': 'Paid service call',
  other: 'Another purpose',
} as const

export type VisitPurpose = keyof typeof visitPurposeWords
export const isVisitPurpose = (text: string): text is VisitPurpose => Object.hasOwn(visitPurposeWords, text)

/** What a homeowner can ask a visit for, each a purpose as they would say it. */
export const visitWishWords = {
  'set-device': 'To test for radon',
  'gauge-check': 'To look over the system',
  callback: 'Something is wrong with the system',
  bid: 'An offer for work',
  other: 'Something else',
} as const satisfies Partial<Record<VisitPurpose, string>>

type VisitWish = keyof typeof visitWishWords
export const isVisitWish = (text: string): text is VisitWish => Object.hasOwn(visitWishWords, text)
