import type { FieldFault } from '../../web/error-summary.tsx'
import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import { AppFields, type AppTyped } from './apps-view.tsx'
import { GrantsView, type GrantsViewProps } from './grants-view.tsx'
import type { App, Secret } from './queries.ts'

export type AppViewProps = Omit<GrantsViewProps, 'appId'> & {
  app: App
  secrets: readonly Secret[]
  typed?: AppTyped
  faults?: readonly FieldFault[]
}

/** One app: what it may do, which homes it sees, its secrets. */
export const AppView = (props: AppViewProps): JSX.Element => {
  const { app, csrf, faults } = props
  const typed = props.typed ?? { name: app.name, scopes: app.scopes, homes: app.allHomes ? 'all' : 'listed' }
  return (
    <article>
      <h1 safe>{app.name}</h1>
      <p>
        Client id <code safe>{app.clientId}</code>
        {app.disabledAt === null ? '' : ', disabled'}
      </p>
      <Form action={paths.app(app.id)} submit="Save" csrf={csrf} version={app.version} faults={faults}>
        <AppFields typed={typed} faults={faults} />
      </Form>
      {app.allHomes ? '' : <GrantsView {...props} appId={app.id} />}
      <SecretsView {...props} />
      <OnOff {...props} />
    </article>
  )
}

const SecretsView = ({ app, secrets, zone, csrf }: AppViewProps): JSX.Element => (
  <section>
    <h2>Secrets</h2>
    <p>To change over without a pause: make a second one, put it into the app, then end the first.</p>
    <Table
      caption={secrets.length === 1 ? 'One secret opens' : `${secrets.length} secrets open`}
      columns={[{ words: 'Made' }, { words: 'Last used' }, { words: 'From' }, { words: 'End it' }]}
      rows={secrets.map(secret => [
        <InstantText at={secret.createdAt} zone={zone} />,
        secret.lastUsedAt === null ? <Text of="never" /> : <InstantText at={secret.lastUsedAt} zone={zone} />,
        <Text of={secret.lastUsedFrom ?? ''} />,
        <form action={paths.appStep(app.id, 'end-secret')} method="post" class="inline">
          <input type="hidden" name="_csrf" value={csrf} />
          <input type="hidden" name="secretId" value={secret.id} />
          <button type="submit" class="quiet">
            End it and its tokens
          </button>
        </form>,
      ])}
    />
    {secrets.length < 2 ? (
      <Form action={paths.appStep(app.id, 'secret')} submit="Make another secret" csrf={csrf} />
    ) : (
      ''
    )}
  </section>
)

const OnOff = ({ app, csrf }: AppViewProps): JSX.Element =>
  app.disabledAt === null ? (
    <section>
      <h2>Shut it out</h2>
      <p>Its tokens stop within seconds and it gets no new ones, until you let it in again.</p>
      <Form
        action={paths.appStep(app.id, 'disable')}
        submit="Disable the app"
        csrf={csrf}
        version={app.version}
        grave
      />
    </section>
  ) : (
    <section>
      <h2>Shut out</h2>
      <Form action={paths.appStep(app.id, 'enable')} submit="Let it in again" csrf={csrf} version={app.version} />
    </section>
  )
