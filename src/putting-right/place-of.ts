import type { CorrectionKind } from '../web/correction-words.ts'

/** Where in the navigation a page about a correction stands. */
export const placeOf = ({ kind }: { readonly kind: CorrectionKind }) =>
  kind === 'merge-customers' ? 'people' : 'homes'
