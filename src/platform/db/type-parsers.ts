import pg from 'pg'

const { builtins } = pg.types

/** timestamptz as epoch milliseconds, date as `YYYY-MM-DD`, int8 as a number where it is exact. */
export const typeParsers = {
  getTypeParser(oid: number, format?: 'text' | 'binary') {
    if (oid === builtins.TIMESTAMPTZ)
      return (text: string) => Date.parse(text.replace(' ', 'T').replace(/([+-]\d\d)$/, '$1:00'))
    if (oid === builtins.DATE) return (text: string) => text
    if (oid === builtins.INT8) return exactNumber
    return pg.types.getTypeParser(oid, format)
  },
} as pg.CustomTypesConfig

const exactNumber = (text: string): number | bigint => {
  const number = Number(text)
  return Number.isSafeInteger(number) ? number : BigInt(text)
}
