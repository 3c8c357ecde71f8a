import { IntlMessageFormat } from 'intl-messageformat'
import { JERRYCANS_PER_M3, LITRES_PER_JERRYCAN } from '../../../domain/units.ts'
import { borrowed, inBorrowed } from '../words/borrowed.ts'
import { catalogueOf } from '../words/catalogue.ts'
import { COMMANDS } from '../words/commands.ts'

export type Values = Record<string, string | number>
export type Translate = (key: string, values?: Values) => string

/** What a sentence about cans says of them where nothing else is told; a group with another can tells its own (`withCan`). */
const USUAL_CAN = { canLitres: LITRES_PER_JERRYCAN, cansPerM3: JERRYCANS_PER_M3 }

/** The same words, with the can of a group in every sentence that tells what a can holds. */
export function withCan({ t, ...locale }: Locale, can: { canLitres: string; cansPerM3: string }): Locale {
  return { ...locale, t: (key, values = {}) => t(key, { ...can, ...values }) }
}

export interface Locale {
  language: string
  /** The tag whose figures and dates are written: the language's own, unless its catalogue names another. */
  figures: string
  dir: 'ltr' | 'rtl'
  t: Translate
  has(key: string): boolean
}

const ENGLISH = 'en'

/**
 * The words of one language, ICU MessageFormat under keys `room.key`. The tag (BCP 47) may name the figures too: `en-u-nu-deva`
 * writes English words and Devanagari digits. What a language does not have yet is said in English and marked as borrowed; a key
 * that English does not have is a mistake of ours and throws, so that no page shows a bare key.
 */
export function loadLocale(tag: string): Locale {
  const found = locales.get(tag) ?? readLocale(tag)
  locales.set(tag, found)
  return found
}

const locales = new Map<string, Locale>()

function readLocale(language: string): Locale {
  const { messages, dir, tag, figures: likeThose } = catalogueOf(language)
  const figures = likeThose ? withDigitsOf(language, likeThose) : language
  const t = translator(figures, (key) => messages.get(key))
  if (tag === ENGLISH) return { language, figures, dir, t, has: (key) => messages.has(key) }
  const english = loadLocale(sameFigures(language))
  return {
    language,
    figures,
    dir,
    t: (key, values = {}) => (messages.has(key) ? t(key, values) : borrowed(english.t(key, inBorrowed(values)))),
    has: english.has,
  }
}

/** The same words, but for those sentences for which the group has its own. */
export function withOwnWords(locale: Locale, own: ReadonlyMap<string, string>): Locale {
  const t = translator(locale.language, (key) => own.get(key))
  return { ...locale, t: (key, values) => (own.has(key) ? t(key, values) : locale.t(key, values)) }
}

function translator(language: string, textOf: (key: string) => string | undefined): Translate {
  const compiled = new Map<string, IntlMessageFormat>()
  return (key, values = {}) => {
    let format = compiled.get(key)
    if (!format) {
      const text = textOf(key)
      if (text === undefined) throw new RangeError(`no message '${key}' in ${language}`)
      format = new IntlMessageFormat(text, language, undefined, { ignoreTag: true })
      compiled.set(key, format)
    }
    return String(format.format({ ...USUAL_CAN, ...COMMANDS, ...values }))
  }
}

/** The tag `likeThose` with the digits that somebody wished for beside the language. */
function withDigitsOf(language: string, likeThose: string): string {
  const { numberingSystem } = new Intl.Locale(language)
  return new Intl.Locale(likeThose, numberingSystem ? { numberingSystem } : {}).toString()
}

/** English with the figures that a language writes. */
function sameFigures(language: string): string {
  const digits = new Intl.NumberFormat(language).resolvedOptions().numberingSystem
  return digits === 'latn' ? ENGLISH : `${ENGLISH}-u-nu-${digits}`
}
