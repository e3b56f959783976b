const site = 'http://site.invalid'

/** Where to go on: a path of this site, or the first page for anything that could lead elsewhere. */
export function safeNext(next: string | undefined): string {
  if (!next?.startsWith('/') || /[\\\u0000-\u001f]/.test(next)) return '/'
  try {
    const url = new URL(next, site)
    // A path of two slashes in front is read as another host.
    return url.origin === site && !url.pathname.startsWith('//') ? url.pathname + url.search : '/'
  } catch {
    return '/'
  }
}
