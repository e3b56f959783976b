import type { FastifyRequest } from 'fastify'
import type { RadonUnit } from '../domain/facts.ts'
import { hasRole } from '../platform/auth/actor.ts'
import { sql } from '../platform/db/client.ts'
import { chosenScheme } from '../platform/http/chosen-scheme.ts'

/** What every page for staff needs besides its own matter. */
export type PageFacts = {
  /** Spread into `<Frame>`. */
  readonly frame: {
    readonly company: string
    readonly signedIn: { readonly name: string; readonly roles: readonly string[] } | null
    readonly csrf: string
    readonly scheme: 'light' | 'dark' | null
    readonly here: string
    readonly cautionAdded: string
  }
  /** The company's own zone, country (ISO 3166-1, '' when unknown) and units. */
  readonly zone: string
  readonly country: string
  readonly unit: RadonUnit
  /** The unit its gauges are read in. */
  readonly pressureUnit: 'in. w.c.' | 'Pa'
  /** Whether this person may see how people are reached: a crew may not where the owner set it so. */
  readonly contacts: boolean
}

const companyOfPage = sql(
  'page-company',
  `select name, zone, country, default_unit as unit, default_pressure_unit as "pressureUnit",
     caution_added as "cautionAdded", crew_sees as "crewSees" from company`,
)
type Row = {
  name: string
  zone: string
  country: string
  unit: RadonUnit
  pressureUnit: PageFacts['pressureUnit']
  cautionAdded: string
  crewSees: string
}

/** One statement, whatever the page. */
export async function pageFacts(request: FastifyRequest): Promise<PageFacts> {
  const company = await request.deps.db.one<Row>(companyOfPage)
  const { actor } = request
  return {
    frame: {
      company: company?.name ?? 'Underslab',
      signedIn: actor?.kind === 'staff' ? { name: actor.name, roles: actor.roles } : null,
      csrf: request.csrfToken,
      scheme: chosenScheme(request),
      // A form that came back with faults stands at an address that cannot be opened.
      here: request.method === 'GET' ? request.url : '/',
      cautionAdded: company?.cautionAdded ?? '',
    },
    zone: company?.zone ?? 'UTC',
    country: company?.country ?? '',
    unit: company?.unit ?? 'pCi/L',
    pressureUnit: company?.pressureUnit ?? 'in. w.c.',
    contacts: actor !== null && (hasRole(actor, 'owner', 'office') || company?.crewSees === 'whole-home'),
  }
}
