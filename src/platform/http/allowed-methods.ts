import type { RouteRow } from './declared-access.ts'

const patterns = new Map<string, RegExp>()

function patternOf(path: string): RegExp {
  const known = patterns.get(path)
  if (known) return known
  const steps = path.split('/').map(step => {
    if (step.startsWith(':')) return '[^/]+'
    return step === '*' ? '.*' : step.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')
  })
  const pattern = new RegExp(`^${steps.join('/')}$`)
  patterns.set(path, pattern)
  return pattern
}

/** The methods that exist at an address, for Allow; none where there is nothing. */
export function methodsAt(routes: readonly RouteRow[], url: string): string[] {
  const path = url.split('?')[0] ?? ''
  const methods = routes.filter(route => patternOf(route.url).test(path)).map(route => route.method)
  return methods.length === 0 ? [] : [...new Set([...methods, 'OPTIONS'])].sort()
}
