import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { z } from 'zod'
import { projectFolder } from '../../project-folder.ts'

const FOLDER = join(projectFolder(), 'views', 'locales')
/** What a language's folder says of itself; no message stands in it. */
const HEAD = 'catalogue.json'

const Head = z.object({
  /** The language's name in itself. */
  name: z.string(),
  dir: z.enum(['ltr', 'rtl']),
  /** `draft`: every sentence is there, and no speaker has checked them; `first-pages`: only those of the first pages are. */
  state: z.enum(['complete', 'draft', 'first-pages']),
  note: z.string(),
  /** The tag whose figures and dates are written, where those of the bare language are another country's. */
  figures: z.string().optional(),
  /** Names of the days for a narrow margin, Monday first, where the language's own short names are as long as the long ones. */
  shortDays: z.array(z.string()).length(7).optional(),
})

interface Catalogue extends z.output<typeof Head> {
  /** The tag of the language (BCP 47), without wishes for digits. */
  tag: string
  /** The messages by `room.key`. */
  messages: ReadonlyMap<string, string>
}

const known = new Map<string, Catalogue>()

/** The catalogue of a language as it stands in its folder; read once. */
export function catalogueOf(tag: string): Catalogue {
  const base = new Intl.Locale(tag).baseName
  const found = known.get(base) ?? readCatalogue(base)
  known.set(base, found)
  return found
}

/** Every language that has words, English first, the others by their tags. */
export function catalogues(): Catalogue[] {
  const tags = readdirSync(FOLDER).filter((tag) => existsSync(join(FOLDER, tag, HEAD)))
  return tags.sort((a, b) => Number(b === 'en') - Number(a === 'en') || (a < b ? -1 : 1)).map(catalogueOf)
}

/** Whether there are words for a language tag. */
export function isSpoken(tag: string): boolean {
  try {
    return existsSync(join(FOLDER, new Intl.Locale(tag).baseName, HEAD))
  } catch {
    return false
  }
}

function readCatalogue(tag: string): Catalogue {
  const folder = join(FOLDER, tag)
  const messages = new Map<string, string>()
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' })
  for (const file of files.filter((name) => name.endsWith('.json') && name !== HEAD)) {
    const own = readJson(join(folder, file)) as Record<string, string>
    for (const [key, text] of Object.entries(own)) messages.set(`${basename(file, '.json')}.${key}`, text)
  }
  return { ...Head.parse(readJson(join(folder, HEAD))), tag, messages }
}

function readJson(path: string): unknown {
  return JSON.parse(readFileSync(path, 'utf8'))
}
