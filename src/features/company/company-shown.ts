import type { FieldFault } from '../../web/error-summary.tsx'
import type { Company } from './queries.ts'

export type CompanyTyped = Readonly<Record<string, string | undefined>>
export type CompanyViewProps = {
  company: Company
  csrf: string
  /** The form that came back with faults, and what was typed into it. */
  failed?: {
    readonly form:
      | 'company'
      | 'crew'
      | 'mail'
      | 'logo'
      | 'caution'
      | 'licences'
      | 'hours'
      | 'durations'
      | 'fans'
      | 'electricity'
    readonly faults: readonly FieldFault[]
    typed: CompanyTyped
  }
}

/** What was typed into this form, or the settings as they stand. */
export function shownIn(props: CompanyViewProps, form: NonNullable<CompanyViewProps['failed']>['form']) {
  const failed = props.failed?.form === form ? props.failed : undefined
  const kept = (name: keyof Company): string => {
    return String(props.company[name] ?? '')
  }
  const value = (name: keyof Company) => (failed ? (failed.typed[name] ?? '') : kept(name))
  return { faults: failed?.faults, typed: failed?.typed, value }
}
