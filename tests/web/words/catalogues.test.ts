import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { projectFolder } from '../../../server/project-folder.ts'
import { catalogueOf, catalogues } from '../../../server/web/words/catalogue.ts'
import { troubleOf } from '../../../server/web/words/message.ts'

const english = catalogueOf('en').messages
const others = catalogues().filter(({ tag }) => tag !== 'en')
const whole = others.filter(({ state }) => state !== 'first-pages')

/** Names and signs that are written alike in many languages (SI Brochure, ISO 4217, names of methods and of files). */
const ALIKE = /^(FAO|Penman|Monteith|Hargreaves|Samani|ETo|kPa|mm|csv|ics|sqlite|npm|run|HOST|PORT)$/
/** What a language has in common with English; each was looked at. */
const IN_COMMON: Record<string, readonly string[]> = {
  pt: ['Volume', 'volume', 'Diagonal', 'zero'],
  sw: [],
}

const filesOf = (tag: string) =>
  readdirSync(join(projectFolder(), 'views/locales', tag), { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.json'))
    .sort()

describe('the catalogue of a language', () => {
  it('is there beside English, and says that a speaker is still to check it', () => {
    expect(others.map(({ tag }) => tag)).toEqual(expect.arrayContaining(['ar', 'pt', 'sw']))
    for (const { state, note } of others.filter((one) => one.state !== 'complete')) {
      expect([state, note]).toEqual([state, expect.stringMatching(/checked by a speaker/)])
    }
  })

  it.each(whole)('$tag has every file and every sentence of English, and no other', ({ tag, messages }) => {
    expect(filesOf(tag)).toEqual(filesOf('en'))
    expect([...english.keys()].filter((key) => !messages.has(key))).toEqual([])
    expect([...messages.keys()].filter((key) => !english.has(key))).toEqual([])
  })

  // Read by the parser of ICU messages; forms of number as CLDR has them for the language (Intl.PluralRules).
  it.each([catalogueOf('en'), ...others])('$tag fills in what English does, with the forms of its numbers', (one) => {
    const troubles = [...one.messages].map(([key, words]) => [
      key,
      troubleOf(words, { english: english.get(key) ?? '', language: one.tag }),
    ])
    expect(troubles.filter(([, trouble]) => trouble !== null)).toEqual([])
  })

  // `docs/words/` says which word it is.
  it.each([
    ['en', /tariff|\bfees?\b/i],
    ['pt', /tarifa|\btaxas?\b/i],
    ['sw', /\bada\b/i],
  ])('%s calls what water costs a price, and what is asked for it a charge, and never as %s', (tag, other) => {
    expect([...catalogueOf(tag).messages].filter(([, words]) => other.test(words))).toEqual([])
  })

  it.each(others)('$tag leaves nothing in English but names and signs', ({ tag, messages }) => {
    const left = [...messages]
      .filter(([key, words]) => english.get(key) === words)
      .filter(([, words]) => wordsIn(words).some((word) => !ALIKE.test(word) && !IN_COMMON[tag]?.includes(word)))
    expect(left).toEqual([])
  })
})

describe('a sentence of the group’s own', () => {
  const plural = '{count, plural, one {# plot} other {# plots}} of {name}'

  // Forms of number: CLDR, plural rules of Arabic (zero, one, two, few, many, other) and of Swahili (one, other).
  it.each([
    ['{name} ana {count, plural, one {shamba #} other {mashamba #}}', 'sw', null],
    ['{count, plural, one {shamba #} other {mashamba #}}', 'sw', 'missing'],
    ['{name} {jina} {count, plural, one {#} other {#}}', 'sw', 'unknown'],
    ['{name} {count, plural, one {#} other {#}', 'sw', 'braces'],
    ['{name} {count, plural, one {#} other {#}}', 'ar', 'forms'],
    ['{name} {count}', 'ar', null],
  ])('%s in %s', (words, language, trouble) => {
    const found = troubleOf(words, { english: plural, language })
    expect(found?.key ?? null).toBe(trouble && `language.sentence.${trouble}`)
  })

  it.each([
    ['wherever it is counted', '{count, plural, one {#} other {#}}, {count, plural, one {a} other {b}}', 'forms'],
    ['in one of two places', '{count, plural, one {#} other {#}}, {count, plural, other {b}}', null],
    ['by the number itself', '{count, plural, =1 {one} other {#}}', 'forms'],
    ['not at all', '{count, plural, =0 {none} other {#}}', null],
  ])('needs a form for one where the English tells one apart %s', (_, english, trouble) => {
    const found = troubleOf('{count, plural, other {#}}', { english, language: 'sw' })
    expect(found?.key ?? null).toBe(trouble && `language.sentence.${trouble}`)
  })

  it('chooses among the names of the English one', () => {
    const choice = '{what, select, rain {rain} other {dew}}'
    expect(
      troubleOf('{what, select, mvua {mvua} other {umande}}', { english: choice, language: 'sw' })?.values,
    ).toEqual({
      name: 'what',
      choices: 'other rain',
    })
  })
})

/** Words of three letters and more outside braces. */
function wordsIn(words: string): string[] {
  const outside = words.replaceAll(/\{[^{}]*\}/g, ' ')
  return [...outside.matchAll(/\p{L}{3,}/gu)].map(([word]) => word)
}
