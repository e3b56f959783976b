import { type Statement, sql } from './client.ts'

type Condition = (n: number) => string

/** The most rows a list is ever asked for: the longest page, and one that tells that more follow. */
const rowsAtMost = 201

/**
 * A list as one statement for each set of filters in use: a filter that is off is not in the text, so that each
 * statement keeps a plan that fits it ("$1 is null or …" is planned once, for both).
 * @param text the select with its order, given the `and …` of the filters in use; its own parameters are $1 to `$taken`.
 * @param limit which of them is the number of rows. The planner takes an unknown limit for a tenth of the table, hence
 *   the constant one inside.
 */
export function listStatement<Filter extends Readonly<Record<string, unknown>>>(
  name: string,
  own: { readonly taken: number; readonly limit: number },
  conditions: { readonly [Name in keyof Filter]-?: Condition },
  text: (filters: string) => string,
): (filter: Filter) => { readonly statement: Statement; readonly values: readonly unknown[] } {
  const statements = new Map<string, Statement>()
  const names = Object.keys(conditions) as (keyof Filter & string)[]
  return filter => {
    const used = names.filter(condition => filter[condition] !== undefined)
    const key = [name, ...used].join('-')
    const filters = used.map((condition, i) => `and ${conditions[condition](own.taken + 1 + i)}`).join(' ')
    const statement =
      statements.get(key) ?? sql(key, `select * from (${text(filters)} limit ${rowsAtMost}) page limit $${own.limit}`)
    statements.set(key, statement)
    return { statement, values: used.map(condition => filter[condition]) }
  }
}
