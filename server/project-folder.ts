import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'

/** The folder that holds package.json, found from the sources as well as from the build. */
export function projectFolder(): string {
  let folder = import.meta.dirname
  while (!existsSync(join(folder, 'package.json'))) {
    const parent = dirname(folder)
    if (parent === folder) throw new Error('package.json was not found above the program')
    folder = parent
  }
  return folder
}
