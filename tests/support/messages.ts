import { readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { projectFolder } from '../../server/project-folder.ts'

const folder = join(projectFolder(), 'views/locales/en')

/** The English catalogue as it stands in the files: `room.key` and its text. */
export const MESSAGES: ReadonlyMap<string, string> = new Map(
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.json') && name !== 'catalogue.json')
    .flatMap((file) => {
      const own = JSON.parse(readFileSync(join(folder, file), 'utf8')) as Record<string, string>
      return Object.entries(own).map(([key, text]): [string, string] => [`${basename(file, '.json')}.${key}`, text])
    }),
)
