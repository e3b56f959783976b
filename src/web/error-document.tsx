import { Document } from './document.tsx'
import { DownPage } from './down-page.tsx'
import { ErrorPage, troubleTitle } from './error-page.tsx'

type Failed = { readonly status: number; readonly detail: string; readonly requestId: string }

/** The whole page of an error, needing nothing but this process. */
export const errorDocument = ({ status, detail, requestId }: Failed): string | Promise<string> =>
  status === 503 ? (
    <DownPage requestId={requestId} />
  ) : (
    <Document title={[troubleTitle(status)]} bodyClass="staff">
      <main id="content">
        <ErrorPage status={status} requestId={requestId} detail={detail} />
      </main>
    </Document>
  )
