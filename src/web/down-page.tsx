import { Document } from './document.tsx'
import { ErrorPage, troubleTitle } from './error-page.tsx'

/** The whole page for a service that cannot reach its database; needs nothing but this process. */
export const DownPage = ({ requestId, company }: { requestId: string; company?: string }): JSX.Element => (
  <Document title={[troubleTitle(503), company]} bodyClass="staff">
    <main id="content">
      <ErrorPage status={503} requestId={requestId} />
    </main>
  </Document>
)
