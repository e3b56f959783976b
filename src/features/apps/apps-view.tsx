import { CheckField, RadioField } from '../../web/choice-field.tsx'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { Empty } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { Table, Text } from '../../web/table.tsx'
import { InstantText } from '../../web/when-text.tsx'
import type { ListedApp } from './queries.ts'
import { scopes } from './scopes.ts'

export type AppTyped = { name?: string; scopes?: readonly string[]; homes?: string }

/** All programs with access to the API, for the owner. */
export const AppsView = ({ apps, zone }: { apps: readonly ListedApp[]; zone: string }): JSX.Element => (
  <article>
    <h1>Apps</h1>
    <p>Programs of others that read or write here under a name of their own. Each sees what you let it see.</p>
    <p class="actions">
      <a class="button" href={paths.newApp()}>
        Add an app
      </a>
    </p>
    {apps.length === 0 ? (
      <Empty text="No app has access." />
    ) : (
      <Table
        caption={`${apps.length} ${apps.length === 1 ? 'app' : 'apps'}, by name`}
        columns={[{ words: 'Name' }, { words: 'Homes' }, { words: 'May' }, { words: 'Last token' }]}
        rows={apps.map(app => [
          <a href={paths.app(app.id)} safe>
            {app.name}
          </a>,
          <Text of={homesWords(app)} />,
          <Text of={scopesWords(app.scopes)} />,
          app.lastUsedAt === null ? <Text of="never" /> : <InstantText at={app.lastUsedAt} zone={zone} />,
        ])}
      />
    )}
  </article>
)

const scopesWords = (held: readonly string[]): string =>
  held.length <= 4 ? held.join(', ') : `${held.slice(0, 3).join(', ')} and ${held.length - 3} more`

const homesWords = (app: ListedApp): string => {
  if (app.disabledAt !== null) return 'none: disabled'
  return app.allHomes ? 'all' : `${app.homes} listed`
}

export const NewAppView = (props: { csrf: string; typed: AppTyped; faults?: readonly FieldFault[] }): JSX.Element => (
  <article>
    <h1>Add an app</h1>
    <Form
      action={paths.newApp()}
      submit="Add it and show its secret"
      csrf={props.csrf}
      faults={props.faults}
      cancel={{ href: paths.apps() }}
    >
      <AppFields typed={props.typed} faults={props.faults} />
    </Form>
  </article>
)

/** What an app is called, what it may do, and where. Nothing is ticked at first. */
export const AppFields = ({ typed, faults }: { typed: AppTyped; faults?: readonly FieldFault[] }): JSX.Element => (
  <>
    <Field name="name" label="Name" hint="As its reads will stand in the log" value={typed.name} faults={faults} />
    <RadioField
      name="homes"
      label="Homes it sees"
      value={typed.homes ?? 'listed'}
      choices={[
        { value: 'listed', words: 'Those you list', hint: 'none until you do' },
        { value: 'all', words: 'All homes' },
      ]}
      faults={faults}
    />
    <CheckField
      name="scopes"
      label="It may"
      values={typed.scopes ?? []}
      choices={Object.entries(scopes).map(([value, words]) => ({ value, words, hint: value }))}
      faults={faults}
    />
  </>
)

/** The secret, for the only time. */
export const SecretView = (props: { name: string; clientId: string; secret: string; back: string }): JSX.Element => (
  <article class="narrow">
    <h1 safe>{`The secret of ${props.name}`}</h1>
    <p>It is shown this once and not kept here. Hand it to whoever runs the app, by a safe way.</p>
    <dl class="pair">
      <div>
        <dt>Client id</dt>
        <dd>
          <code safe>{props.clientId}</code>
        </dd>
      </div>
      <div>
        <dt>Client secret</dt>
        <dd>
          <code class="shown-once" safe>
            {props.secret}
          </code>
        </dd>
      </div>
    </dl>
    <p>
      It fetches tokens at <code>/oauth/token</code> by OAuth 2.0 client credentials.
    </p>
    <p>
      <a href={props.back}>I have kept it</a>
    </p>
  </article>
)
