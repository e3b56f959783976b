import type { FileHome } from '../../src/intake/homes-table/gather-homes.ts'
import type { HomeCells } from '../../src/intake/homes-table/home-facts.ts'
import { HomesOfTable } from '../../src/intake/homes-table/homes-of-table.ts'
import type { HomesReading, Readers } from '../../src/intake/homes-table/homes-reading.ts'
import { readHomesSteps } from '../../src/intake/homes-table/read-homes.ts'
import { finished } from '../../src/intake/monitor-file/steps.ts'
import type { Sheets } from '../../src/intake/table/sheets.ts'

/** Every row of a table of homes that tells one, and what was met beside them. */
export function readHomes(sheets: Sheets, reading: HomesReading, readers: Readers) {
  const homes: HomeCells[] = []
  const read = finished(readHomesSteps(sheets, reading, readers, home => void homes.push(home)))
  return { ...read, homes }
}

export function homesOf(rows: readonly HomeCells[]): HomesOfTable {
  const homes = new HomesOfTable()
  for (const row of rows) homes.take(row)
  return homes
}

/** The homes that rows tell, each whole. */
export function gatherHomes(rows: readonly HomeCells[]): readonly FileHome[] {
  const homes = homesOf(rows)
  return [...homes.all()].map(home => homes.whole(home))
}
