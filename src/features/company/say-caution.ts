import { type Db, sql } from '../../platform/db/client.ts'
import { cautionWith } from '../../web/caution.tsx'

const added = sql('company-caution-added', `select coalesce((select caution_added from company), '') as words`)

/** The caution as this company prints it, also before there is a company. */
export const sayCaution = async (db: Db): Promise<string> =>
  cautionWith((await db.one<{ words: string }>(added))?.words ?? '')
