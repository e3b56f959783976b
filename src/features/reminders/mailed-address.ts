import { linkTokenFor } from '../../platform/auth/link-token.ts'
import type { Config } from '../../platform/config.ts'
import { paths } from '../../web/paths.ts'

/** The secret address of a home's page, as a mail carries it. */
export const mailedAddress = (config: Pick<Config, 'publicUrl' | 'linkKeys'>, linkId: string): string =>
  config.publicUrl + paths.homeowner(linkTokenFor(config.linkKeys, linkId))
