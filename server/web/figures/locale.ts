import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { IntlMessageFormat } from 'intl-messageformat'
import { projectFolder } from '../../project-folder.ts'

export type Values = Record<string, string | number>
export type Translate = (key: string, values?: Values) => string

export interface Locale {
  language: string
  t: Translate
  has(key: string): boolean
}

/**
 * The message catalogue of one language: one JSON file a room, ICU MessageFormat, keys `room.key`. The tag (BCP 47) may
 * name the figures too: `en-u-nu-deva` writes English words and Devanagari digits.
 * A missing key is a mistake of ours and throws, so that no page shows a bare key.
 */
export function loadLocale(language: string): Locale {
  const known = locales.get(language) ?? readLocale(language)
  locales.set(language, known)
  return known
}

const locales = new Map<string, Locale>()

function readLocale(language: string): Locale {
  const messages = readMessages(language)
  const compiled = new Map<string, IntlMessageFormat>()
  const t: Translate = (key, values = {}) => {
    let format = compiled.get(key)
    if (!format) {
      const text = messages.get(key)
      if (text === undefined) throw new RangeError(`no message '${key}' in ${language}`)
      format = new IntlMessageFormat(text, language, undefined, { ignoreTag: true })
      compiled.set(key, format)
    }
    return String(format.format(values))
  }
  return { language, t, has: (key) => messages.has(key) }
}

/** Whether there are words for a language tag. */
export function isSpoken(language: string): boolean {
  try {
    return existsSync(folderOf(language))
  } catch {
    return false
  }
}

function folderOf(language: string): string {
  return join(projectFolder(), 'views', 'locales', new Intl.Locale(language).baseName)
}

function readMessages(language: string): Map<string, string> {
  const folder = folderOf(language)
  const messages = new Map<string, string>()
  for (const file of readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.json'),
  )) {
    const room = basename(file, '.json')
    const own = JSON.parse(readFileSync(join(folder, file), 'utf8')) as Record<string, string>
    for (const [key, text] of Object.entries(own)) messages.set(`${room}.${key}`, text)
  }
  return messages
}
