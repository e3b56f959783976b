import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { InstantText } from '../../web/when-text.tsx'
import type { ImportBatch } from '../import-rows.ts'

const STATES: Readonly<Record<ImportBatch['state'], string>> = {
  proposed: 'looked at, not saved',
  committing: 'being saved',
  committed: 'saved',
  undone: 'undone',
}

/** Files read in, newest first. */
export const ImportListView = ({
  batches,
  more,
  zone,
  next,
}: {
  batches: readonly ImportBatch[]
  more: boolean
  zone: string
  next: string | null
}): JSX.Element => (
  <>
    <h1>Imports</h1>
    <p>
      <a href={paths.newImport()}>Import a file</a>
    </p>
    <List
      title="Files read in"
      order="newest first"
      count={batches.length + (more ? 1 : 0)}
      noun={['file', 'files']}
      empty={{ text: 'No file has been read in.', href: paths.newImport(), step: 'Import one' }}
      next={next}
      items={batches.map(batch => (
        <>
          <a href={paths.import(batch.id)} safe>
            {batch.fileName}
          </a>{' '}
          <span safe>{STATES[batch.state]}</span> <InstantText at={batch.createdAt} zone={zone} />
        </>
      ))}
    />
  </>
)
