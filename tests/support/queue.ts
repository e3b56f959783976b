import { Logger, runMigrations } from 'graphile-worker'

/** Brings the job queue's own schema into the database. */
export const prepareQueue = (url: string): Promise<void> =>
  runMigrations({ connectionString: url, logger: new Logger(() => () => {}) })
