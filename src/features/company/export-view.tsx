import { Form } from '../../web/form.tsx'
import { paths } from '../../web/paths.ts'

/** What an export is, before it is taken. */
export const ExportView = ({ csrf }: { csrf: string }): JSX.Element => (
  <article>
    <h1>Everything on record</h1>
    <p>
      Every record of the company in one zip archive: as tables for a spreadsheet, as lines for programs, with the
      photos and files that were kept. README.txt in it says what is what, and a dictionary names each table and column.
    </p>
    <Form action={paths.everything()} submit="Download everything" csrf={csrf} download />
    <h2>What to know of it</h2>
    <ul>
      <li>
        Names, addresses, gate codes and results are in it, in the clear: keep it as you would keep the records
        themselves.
      </li>
      <li>
        Passwords, sign-ins, secrets of apps and keys are not. Where it is read in, people are invited anew and apps get
        a new secret.
      </li>
      <li>
        It can be read into an empty installation, of this version or a later one, by the operator:{' '}
        <code>npm run underslab -- import FILE</code>. Every standing is reckoned again there and compared. Reminders
        stay paused until somebody releases them.
      </li>
      <li>It is no backup: that is for this installation, with its secrets, and is the operator’s to take.</li>
      <li>
        That it was taken, when and by whom stands in <a href={paths.changes()}>who did what</a>.
      </li>
    </ul>
  </article>
)
