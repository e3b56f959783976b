import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'

/** The folder that holds `prisma/` and `package.json`, from the sources and from the built program alike. */
export const programFolder: string = (() => {
  let folder = import.meta.dirname
  while (!existsSync(join(folder, 'prisma', 'schema.prisma'))) {
    const parent = dirname(folder)
    if (parent === folder) throw new Error('The folder prisma/ is missing beside the program.')
    folder = parent
  }
  return folder
})()
