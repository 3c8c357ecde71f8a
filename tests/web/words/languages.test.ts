import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { HTMLElement } from 'node-html-parser'
import { beforeAll, describe, expect, it } from 'vitest'
import { latinDigits } from '../../../domain/digits.ts'
import { parseMoney } from '../../../domain/money/parse.ts'
import { PASSWORD } from '../../../seed/load.ts'
import { buildApp } from '../../../server/app.ts'
import { type Database, openDatabase } from '../../../server/database/connection.ts'
import { projectFolder } from '../../../server/project-folder.ts'
import { parseDecimal } from '../../../server/web/figures/decimal.ts'
import { makeFormat } from '../../../server/web/figures/format.ts'
import { type Locale, loadLocale } from '../../../server/web/figures/locale.ts'
import { catalogues, isSpoken } from '../../../server/web/words/catalogue.ts'
import { CHEAP_HASHING } from '../../support/hashing.ts'
import { VALLEY_TODAY, valleyFile } from '../../support/load-valley.ts'
import { answersOf, Visitor } from '../../support/visitor.ts'
import { walk } from '../../support/walk.ts'

/** The symbol of the minute, beside the SI (SI Brochure, 9th edition, table 8). */
const SYMBOLS = ['min']

/** The example valley, answered in other words than English. */
async function valleyIn(locale: Locale) {
  const db = openDatabase(readFileSync(await valleyFile()))
  const now = () => new Date(`${VALLEY_TODAY}T10:00:00Z`)
  const app = await buildApp({ db, now, claimCode: '246810', hashing: CHEAP_HASHING, locale })
  await app.ready()
  const signIn = async (signInName: string) => {
    const visitor = new Visitor(app.server)
    await visitor.fill('/sign-in', { signInName, password: PASSWORD })
    return visitor
  }
  return { db, signIn }
}

describe('another language', () => {
  const english = loadLocale('en')
  // What the catalogue says is bracketed; every word outside brackets was written into the program.
  let bracketed: Awaited<ReturnType<typeof valleyIn>>
  let known: Set<string>
  beforeAll(async () => {
    bracketed = await valleyIn({ ...english, t: (...asked) => `⟦${english.t(...asked)}⟧` })
    known = new Set([
      ...(await wordsOfBook(bracketed.db)),
      ...wordsOfDates(),
      ...wordsOfChoices(),
      ...wordsOfSources(),
      ...SYMBOLS,
      // As the runtime names them.
      ...wordsOfCalendars(),
      // Each language is named in itself.
      ...catalogues().map(({ name: inItself }) => inItself),
    ])
  })

  it.each(['amaru', 'fanta'])('leaves no word behind on the pages of %s', async (name) => {
    const visitor = await bracketed.signIn(name)
    const left = new Map<string, string>()
    // A text message keeps only letters that every phone knows, and so loses the brackets.
    const pages = (await walk(visitor, { pagesOfAKind: 1 })).filter(({ path }) => !path.endsWith('as=message'))
    for (const { path, html } of pages) {
      for (const word of textsOf(html).flatMap((text) => wordsIn(outsideBrackets(text))))
        if (!known.has(word)) left.set(word, path)
    }
    expect(pages.length).toBeGreaterThan(20)
    expect(Object.fromEntries(left)).toEqual({})
  })
})

describe('other figures', () => {
  it('are shown on the pages, and read when they are typed', async () => {
    const { signIn } = await valleyIn(loadLocale('en-u-nu-deva'))
    const visitor = await signIn('dovi')
    const log = await visitor.open('/log')
    expect(log.words).toMatch(/[०-९]{2}:[०-९]{2} [०-९]{2}:[०-९]{2}/)
    expect(log.words).not.toMatch(/\d{2}:\d{2} /)
    const saved = await visitor.fill('/log/water?use=drinking', {
      place: await firstPlace(visitor),
      volume: '४५',
    })
    // 45 jerrycans of 20 litres.
    expect(saved.words).toContain('०.९ m³')
  })

  it('are those of the Unicode Standard: zero to nine of a script stand in one run', () => {
    expect(latinDigits('०१२३४५६७८९ ٠١٢٣٤٥٦٧٨٩ ০৯ ၀၉ 0189')).toBe('0123456789 0123456789 09 09 0189')
    expect(parseDecimal('१२,५')).toBe(12.5)
    expect(parseMoney({ text: '١٬٢٥٠'.replace('٬', ' '), currency: 'XOF' })).toBe(1250)
  })

  it.each(catalogues().map(({ tag }) => tag))('of %s are never read as others when somebody types them back', (tag) => {
    const f = makeFormat(loadLocale(tag).figures, 'UTC')
    const misread = [0.75, 7.5, 295, 2960, 2960.5, 12_960, 1_234_567.5].filter((value) => {
      const read = parseDecimal(f.two(value))
      return typeof read === 'number' && read !== value
    })
    expect(misread).toEqual([])
  })

  it('need a tag that has words', () => {
    expect(['en', 'en-u-nu-arab'].map(isSpoken)).toEqual([true, true])
    expect(['xx', '../en', 'no tag'].map(isSpoken)).toEqual([false, false, false])
  })
})

async function firstPlace(visitor: Visitor): Promise<string> {
  const page = await visitor.open('/log/water?use=drinking')
  return answersOf(page, 'place')[0]!.value
}

/** The names of the tables are the names of files, the same in every language. */
function textsOf(html: HTMLElement): string[] {
  const main = html.querySelector('body')
  if (!main) return []
  for (const names of main.querySelectorAll('a[href$=".csv"], svg style')) names.remove()
  const attributes = ['aria-label', 'title', 'placeholder', 'data-label', 'alt']
  const inAttributes = main
    .querySelectorAll('*')
    .flatMap((one) => attributes.map((name) => one.getAttribute(name) ?? ''))
  return [...main.querySelectorAll('*').flatMap(ownTexts), ...inAttributes]
}

function ownTexts(element: HTMLElement): string[] {
  const isWhole = element.childNodes.every((node) => node.nodeType === 3)
  return isWhole ? [element.text] : element.childNodes.filter((node) => node.nodeType === 3).map((node) => node.text)
}

function outsideBrackets(text: string): string {
  let depth = 0
  let outside = ''
  for (const letter of text) {
    if (letter === '⟦') depth++
    if (depth === 0) outside += letter
    if (letter === '⟧') depth--
  }
  return outside
}

function wordsIn(text: string): string[] {
  return [...text.matchAll(/\p{L}{3,}/gu)].map(([word]) => word)
}

/** Names, remarks and reasons that people wrote. */
async function wordsOfBook(db: Database): Promise<string[]> {
  const words: string[] = []
  for (const { name } of await db.introspection.getTables()) {
    const rows = await db
      .selectFrom(name as never)
      .selectAll()
      .execute()
    for (const value of rows.flatMap((row) => Object.values(row as object)))
      if (typeof value === 'string' && value.length < 500) words.push(...wordsIn(value), ...wordsIn(asHash(value)))
  }
  return words
}

/** A hash is printed eight places at a time. */
function asHash(value: string): string {
  return /^[0-9a-f]{64}$/.test(value) ? value.match(/.{8}/g)!.join(' ') : ''
}

/** Days and months come from the locale data of the runtime. */
function wordsOfDates(): string[] {
  const days = Array.from({ length: 366 }, (_, day) => new Date(Date.UTC(2024, 0, 1 + day)))
  const shapes: Intl.DateTimeFormatOptions[] = [
    { weekday: 'long', month: 'long' },
    { weekday: 'short', month: 'short' },
  ]
  return shapes.flatMap((shape) => {
    const format = new Intl.DateTimeFormat('en-GB', { ...shape, timeZone: 'UTC' })
    return days.flatMap((day) => wordsIn(format.format(day)))
  })
}

/** So do the names of clocks and moneys, among which a group chooses. */
function wordsOfChoices(): string[] {
  const named = new Intl.DisplayNames(['en'], { type: 'currency' })
  const moneys = Intl.supportedValuesOf('currency').map((code) => `${code} ${named.of(code)}`)
  return [...moneys, ...Intl.supportedValuesOf('timeZone')].flatMap(wordsIn)
}

/** Titles of books stay as they are printed; they stand beside the figures in `domain/`. */
function wordsOfCalendars(): string[] {
  const names = new Intl.DisplayNames(['en'], { type: 'calendar' })
  return Intl.supportedValuesOf('calendar').flatMap((calendar) => wordsIn(names.of(calendar) ?? ''))
}

function wordsOfSources(): string[] {
  const folder = join(projectFolder(), 'domain')
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.ts'))
    .flatMap(
      (path) =>
        readFileSync(join(folder, path), 'utf8').match(
          /(?<=')[^'\n]*(?:\b(?:19|20)\d\d\b|practice|handbook)[^'\n]*(?=')/g,
        ) ?? [],
    )
    .flatMap(wordsIn)
}
