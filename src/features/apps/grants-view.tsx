import { attributeText } from '../../web/attribute-text.ts'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import type { Grant } from './grant-queries.ts'

export type GrantsViewProps = {
  appId: string
  grants: readonly Grant[]
  /** Homes found for the text in the box. */
  found: readonly { id: string; address: string }[]
  find: string
  zone: string
  csrf: string
}

/** The homes an app sees, and a box to find the next one. */
export const GrantsView = (props: GrantsViewProps): JSX.Element => {
  const { appId, grants, zone, csrf } = props
  return (
    <section id="homes">
      <h2>Homes it sees</h2>
      {grants.length === 0 ? (
        <Empty text="None yet: find one below and let it see it." />
      ) : (
        <Table
          caption={`${grants.length} ${grants.length === 1 ? 'home' : 'homes'}, by town and street`}
          columns={[{ words: 'Home' }, { words: 'From' }, { words: 'Until' }, { words: 'End it' }]}
          rows={grants.map(grant => [
            <a href={paths.home(grant.propertyId)} safe>
              {grant.address}
            </a>,
            <InstantText at={grant.from} zone={zone} />,
            grant.until === null ? <Text of="you end it" /> : <InstantText at={grant.until} zone={zone} />,
            <form action={paths.appStep(appId, 'withdraw')} method="post" class="inline">
              <input type="hidden" name="_csrf" value={csrf} />
              <input type="hidden" name="grantId" value={grant.id} />
              <button type="submit" class="quiet">
                Take it away
              </button>
            </form>,
          ])}
        />
      )}
      <FindHome {...props} />
    </section>
  )
}

const FindHome = ({ appId, find, found, csrf }: GrantsViewProps): JSX.Element => (
  <>
    <form action={`${paths.app(appId)}#homes`} method="get" class="inline">
      <div class="field">
        <label for="find">Find a home by street or town</label>
        <input id="find" name="find" type="search" value={attributeText(find)} class="medium" />
      </div>
      <button type="submit">Find</button>
    </form>
    {find !== '' && found.length === 0 ? <Empty text={`No home has “${find}” in its address.`} /> : ''}
    {found.length > 0 ? (
      <ul class="ruled">
        {found.map(home => (
          <li>
            <form action={paths.appStep(appId, 'grant')} method="post" class="inline">
              <input type="hidden" name="_csrf" value={csrf} />
              <input type="hidden" name="propertyId" value={home.id} />
              <span safe>{home.address}</span>
              <label>
                until <span class="hint">(a day; empty for as long as you like)</span>{' '}
                <input name="until" type="date" class="medium" />
              </label>
              <button type="submit">Let it see this home</button>
            </form>
          </li>
        ))}
      </ul>
    ) : (
      ''
    )}
  </>
)
