import type { ValidateFunction } from 'ajv'
import { Ajv2020 } from 'ajv/dist/2020.js'
import addFormats from 'ajv-formats'
import type { Answer } from './answers.ts'

type Media = { readonly schema?: object }
type Operation = {
  readonly operationId?: string
  readonly responses: Readonly<Record<string, { readonly $ref?: string; readonly content?: Record<string, Media> }>>
}
export type ApiDocument = {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>
  readonly components?: { readonly responses?: Record<string, { readonly content?: Record<string, Media> }> }
}

export type Seen = { readonly operation: string; readonly status: number }
export type Held = { readonly seen: Seen | null; readonly fault: string | null }

/** Gives a function that holds an answer against the document: which documented pair it is, and what is wrong with it. */
export function answerChecker(document: ApiDocument): (answer: Answer) => Held {
  const ajv = new Ajv2020({ strict: false, allErrors: true, validateFormats: true })
  addFormats.default(ajv)
  ajv.addSchema(document, 'api')
  const routes = Object.keys(document.paths).map(path => ({
    path,
    // A fixed path wins over one with a parameter.
    weight: path.split('{').length,
    pattern: new RegExp(`^${path.replace(/\{[^}]+\}/g, '[^/]+')}$`),
  }))
  routes.sort((one, other) => one.weight - other.weight)
  const compiled = new Map<string, ValidateFunction>()
  const validatorAt = (pointer: string) => {
    const known = compiled.get(pointer) ?? ajv.compile({ $ref: `api#${pointer}` })
    compiled.set(pointer, known)
    return known
  }

  return answer => {
    const path = routes.find(route => route.pattern.test(answer.path))?.path
    const method = answer.method.toLowerCase()
    const operation = path && document.paths[path]?.[method]
    if (!path || !operation) return { seen: null, fault: null }
    const name = operation.operationId ?? `${method} ${path}`
    const seen = { operation: name, status: answer.status }
    const described = operation.responses[answer.status]
    if (!described) return { seen, fault: `${name} answered ${answer.status}, which is not documented` }
    const shared = described.$ref ? described.$ref.slice(1) : null
    const content = (shared ? document.components?.responses?.[shared.split('/').pop()!] : described)?.content
    if (!content) return { seen, fault: answer.body ? `${name} ${answer.status} has an undocumented body` : null }
    const type = String(answer.headers['content-type'] ?? '').split(';')[0]!
    if (answer.status === 304 || answer.method === 'HEAD') return { seen, fault: null }
    if (!content[type]) return { seen, fault: `${name} ${answer.status} came as ${type}` }
    if (!/json$/.test(type) || !content[type].schema) return { seen, fault: null }
    const pointed = (part: string) => part.replaceAll('~', '~0').replaceAll('/', '~1')
    const at = shared ?? `/paths/${encodeURIComponent(pointed(path))}/${method}/responses/${answer.status}`
    const validate = validatorAt(`${at}/content/${pointed(type)}/schema`)
    if (validate(JSON.parse(answer.body))) return { seen, fault: null }
    return { seen, fault: `${name} ${answer.status}: ${ajv.errorsText(validate.errors)}` }
  }
}

/** Every documented pair of operation and status. */
export const documentedPairs = (document: ApiDocument): Seen[] =>
  Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).flatMap(([method, { operationId, responses }]) =>
      Object.keys(responses ?? {})
        .filter(status => /^\d+$/.test(status))
        .map(status => ({ operation: operationId ?? `${method} ${path}`, status: Number(status) })),
    ),
  )
