import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Digits } from '../../../domain/people/language.ts'
import type { Database } from '../../database/connection.ts'
import { type Locale, loadLocale, withOwnWords } from '../../web/figures/locale.ts'
import { readCookie } from '../../web/pages/cookies.ts'
import type { Reader } from '../../web/pages/visit.ts'
import { catalogues, isSpoken } from '../../web/words/catalogue.ts'
import { wishedLanguage } from '../../web/words/taps.ts'
import { groupLanguageOn, languagesOf } from './store.ts'

/** Whoever makes up tags in a cookie fills no memory with them. Own choice, no source. */
const MOST_TAGS = 100

interface Book {
  db: Database
  /** The words of the machine, which are the group's until it chooses. */
  locale?: Locale
}

/**
 * The words for a reader on a day: those that the person chose; else those that were tapped on the device; else, before anybody is signed in,
 * what the browser wishes for; else the group's.
 */
export async function localeOf(
  { db, locale: ofMachine = loadLocale('en') }: Book,
  reader: Reader,
  on: CalendarDate,
): Promise<Locale> {
  const tag = await tagOf(db, reader, await groupTag(db, ofMachine.language, on))
  const locale = tag === ofMachine.language ? ofMachine : loadLocale(tag)
  const own = (await languagesOf(db)).words.get(languageOf(tag))
  return own === undefined || own.size === 0 ? locale : spokenWith(locale, own)
}

const languages = new Map<string, string>()

/** A tag without its digits. Tags are few, and asked for with every page. */
function languageOf(tag: string): string {
  const language = languages.get(tag) ?? new Intl.Locale(tag).baseName
  if (languages.size < MOST_TAGS) languages.set(tag, language)
  return language
}

/** The language that the group chose, with its digits; until it does, that of the machine. */
async function groupTag(db: Database, ofMachine: string, on: CalendarDate): Promise<string> {
  const chosen = await groupLanguageOn(db, on)
  return chosen && isSpoken(chosen.language) ? withDigits(chosen.language, chosen.digits, ofMachine) : ofMachine
}

/** Made once for what stands in the book; what is written next stands in another map. */
const made = new WeakMap<ReadonlyMap<string, string>, Map<Locale, Locale>>()

function spokenWith(locale: Locale, own: ReadonlyMap<string, string>): Locale {
  const ofOwn = made.get(own) ?? new Map<Locale, Locale>()
  made.set(own, ofOwn)
  const known = ofOwn.get(locale) ?? withOwnWords(locale, own)
  ofOwn.set(locale, known)
  return known
}

async function tagOf(db: Database, reader: Reader, ofGroup: string): Promise<string> {
  if (reader === 'group') return ofGroup
  const own = 'personId' in reader ? (await languagesOf(db)).persons.get(reader.personId) : undefined
  if (own && isSpoken(own.language)) return withDigits(own.language, own.digits, ofGroup)
  const { request } = reader
  if (!request) return ofGroup
  const tapped = readCookie(request, 'language')
  if (tapped && isSpoken(tapped)) return withDigits(languageOf(tapped), null, ofGroup)
  if ('personId' in reader) return ofGroup
  const spoken = catalogues().map(({ tag }) => tag)
  const wished = wishedLanguage(request.headers['accept-language'], spoken)
  return wished ? withDigits(wished, null, ofGroup) : ofGroup
}

/** The group's own digits hold for its language, unless somebody chose others. */
function withDigits(language: string, digits: Digits | null, ofGroup: string): string {
  if (digits) return `${language}-u-nu-${digits}`
  return languageOf(ofGroup) === language ? ofGroup : language
}
