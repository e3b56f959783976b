declare module 'autocannon' {
  type Options = {
    readonly url: string
    readonly connections: number
    readonly duration: number
    readonly method?: string
    readonly headers?: Readonly<Record<string, string>>
    readonly requests?: readonly { readonly setupRequest: (request: Record<string, unknown>) => object }[]
  }
  type Result = {
    readonly requests: { readonly total: number }
    readonly latency: { readonly p99: number }
    readonly duration: number
    readonly errors: number
    readonly statusCodeStats: Readonly<Record<string, unknown>>
  }
  export default function autocannon(options: Options): Promise<Result>
}
