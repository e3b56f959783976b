import { seen, seesAllHomes } from '../../platform/auth/seen.ts'
import { type Db, type Statement, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Phrase } from './rank-homes.ts'
import type { Token, TokenRow } from './read-query.ts'

type Who = Pick<Act, 'actor' | 'now'>

const codes = `p.kind in ('postcode', 'email', 'phone', 'tag', 'serial', 'device', 'kit')`

// Pieces without a digit or @ are words: as fragments of codes they would match half the mail addresses there are.
const typedTokens = sql(
  'search-tokens',
  `select w.word, c.code, c."codeHomes",
     array(select t.term from search_term t where t.term ~>=~ w.word and t.term ~<~ (w.word || chr(65535)) order by t.term limit 60) as beginnings,
     case when length(w.word) < 4 then '{}' else array(select * from similar_terms(w.word)) end as similar
   from (select s.piece, s.code, s.n, case when length(s.code) < 3 or s.piece !~ '[0-9@]' then '{}' else
            array(select p.property_id from search_phrase p where ${codes} and p.phrase like '%' || s.code || '%' limit 100) end as "codeHomes"
          from (select piece, search_code(piece) as code, n
                  from regexp_split_to_table(btrim($1), '\\s+') with ordinality r(piece, n) order by n limit 8) s limit 8) c,
     lateral unnest(string_to_array(search_text(c.piece), ' ')) with ordinality w(word, m)
   where w.word <> '' order by c.n, w.m limit 8`,
)
export const readTokens = (db: Db, typed: string) => db.rows<TokenRow>(typedTokens, [typed])

const wholeCode = sql(
  'search-whole-code',
  `select q.code, case when length(q.code) < 3 or q.code !~ '[0-9]' then '{}' else
     array(select p.property_id from search_phrase p
            where ${codes} and (p.phrase like '%' || q.code || '%' or p.phrase like '%' || ltrim(q.code, '0') || '%') limit 100) end as homes
   from (select search_code($1) as code) q`,
)
/** The typed text as one code, and the homes with a code that holds it. */
export const readWholeCode = async (db: Db, typed: string): Promise<{ code: string; homes: string[] }> =>
  (await db.one<{ code: string; homes: string[] }>(wholeCode, [typed])) ?? { code: '', homes: [] }

export type FoundHome = {
  readonly propertyId: string
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly outcome: string | null
  readonly nextDueOn: string | null
  readonly phrases: readonly Phrase[]
}

const found = `select p.id as "propertyId", p.street, p.unit, p.city, p.region, p.postcode, k.outcome, k.next_due_on as "nextDueOn",
    (select json_agg(json_build_object('kind', s.kind, 'sourceId', s.source_id, 'phrase', s.phrase, 'shown', s.shown))
       from search_phrase s where s.property_id = p.id) as phrases
  from h join property p on p.id = h.property_id left join standing k on k.property_id = p.id`

// $1 homes by the whole code; then two parameters a token: its words, its homes by code.
const answers = (i: number) => `(s.words && $${2 * i + 2}::text[] or s.property_id = any($${2 * i + 3}::uuid[]))`

/** All but one of the tokens, each left out in turn. */
const loosely = (count: number) =>
  Array.from({ length: count }, (_, left) =>
    Array.from({ length: count }, (_, i) => i)
      .filter(i => i !== left || count === 1)
      .map(answers)
      .join(' and '),
  )
    .map(some => `(${some})`)
    .join(' or ')
const strictly = (count: number) => Array.from({ length: count }, (_, i) => answers(i)).join(' and ')

const limit = 150
function homesStatement(count: number, loose: boolean, all: boolean): Statement {
  const matched = `((${loose ? loosely(count) : strictly(count)}) or s.property_id = any($1::uuid[]))`
  const next = 2 * count + 2
  const from = all
    ? 'search_home s'
    : `(select distinct property_id from visible_home($${next}, $${next + 1}, $${next + 2})) v join search_home s using (property_id)`
  return sql(
    `search-homes-${count}${loose ? '-loose' : ''}${all ? '' : '-own'}`,
    // A materialized step is planned for all its rows, so the limit can not talk the planner into reading the table,
    // and is read only as far as the limit asks.
    `with m as materialized (select s.property_id from ${from} where ${matched}), h as (select property_id from m limit ${limit}) ${found}`,
  )
}

/** Homes that answer every token (or, loosely, all but one), or hold the whole code. Only homes this actor sees. */
export function findHomes(
  db: Db,
  who: Who,
  tokens: readonly Token[],
  byWholeCode: readonly string[],
  loose: boolean,
): Promise<FoundHome[]> {
  const all = seesAllHomes(who.actor)
  return db.rows<FoundHome>(homesStatement(tokens.length, loose, all), [
    byWholeCode,
    ...tokens.flatMap(token => [[...token.meant.keys()], token.codeHomes]),
    ...(all ? [] : seen(who.actor, who.now).slice(1)),
  ])
}
