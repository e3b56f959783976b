import { Document } from '../../web/document.tsx'

/** What every link that does not open shows: the same words, whatever the reason, and nothing about anybody. */
export const NeutralPage = (): JSX.Element => (
  <Document title={['This link does not open']} bodyClass="homeowner">
    <main id="content" tabindex="-1">
      <h1>This link does not open</h1>
      <p>It may have expired, the home may have changed hands, or the address was not copied whole.</p>
      <p>Open the link in your newest mail, or ask the company that sent it: its phone number stands in the mail.</p>
    </main>
  </Document>
)

/** The page behind the mail's own "unsubscribe": a button, because opening a link must change nothing. */
export const StopPage = ({ action, stopped }: { action: string; stopped: boolean }): JSX.Element => (
  <Document title={['Mails about your radon record']} bodyClass="homeowner">
    <main id="content" tabindex="-1">
      <h1>{stopped ? 'The mails are stopped' : 'Stop the mails?'}</h1>
      {stopped ? (
        <p>You will get no more mails about your radon record. The page of your home lets you start them again.</p>
      ) : (
        <form action={action} method="post">
          <p>You would no longer be reminded when a test of your home is due.</p>
          <input type="hidden" name="List-Unsubscribe" value="One-Click" />
          <div class="actions">
            <button type="submit" class="primary">
              Stop the mails
            </button>
          </div>
        </form>
      )}
    </main>
  </Document>
)
