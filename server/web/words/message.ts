import { IntlMessageFormat } from 'intl-messageformat'

type Element = ReturnType<IntlMessageFormat['getAst']>[number]
type Trouble = { key: string; values: Record<string, string> }

/**
 * Why a sentence cannot stand in the place of the English one; a key of the catalogue with its values, null when nothing is in the way.
 * It must be read by the parser of ICU messages, name what the English one names, choose among the same words, and have
 * every form of number that whole numbers take in its language (CLDR).
 */
export function troubleOf(words: string, { english, language }: { english: string; language: string }): Trouble | null {
  const own = elementsOf(words, language)
  if (own === null) return { key: 'language.sentence.braces', values: {} }
  const inEnglish = elementsOf(english, 'en') ?? []
  const [named, wanted] = [namesIn(own), namesIn(inEnglish)]
  const missing = [...wanted.keys()].filter((name) => !named.has(name))
  if (missing.length > 0) return { key: 'language.sentence.missing', values: { names: inBraces(missing) } }
  const unknown = [...named.keys()].filter((name) => !wanted.has(name))
  if (unknown.length > 0) return { key: 'language.sentence.unknown', values: { names: inBraces(unknown) } }
  const other = [...named].find(([name, choices]) => choices !== '' && wanted.get(name) !== choices)
  if (other)
    return { key: 'language.sentence.choices', values: { name: other[0], choices: wanted.get(other[0]) ?? '' } }
  const lacking = formsLacking(own, language, countedIn(inEnglish))
  return lacking.length > 0 ? { key: 'language.sentence.forms', values: { forms: lacking.join(', ') } } : null
}

function elementsOf(words: string, language: string): Element[] | null {
  try {
    return new IntlMessageFormat(words, language, undefined, { ignoreTag: true }).getAst()
  } catch {
    return null
  }
}

const inBraces = (names: readonly string[]) => names.map((name) => `{${name}}`).join(', ')

/** What a message names, each with the words among which a choice is made; nothing for a bare value or a number. */
function namesIn(elements: readonly Element[], found = new Map<string, string>()): Map<string, string> {
  for (const element of elements) {
    if (isLiteral(element)) continue
    const choices =
      'options' in element && !('pluralType' in element) ? Object.keys(element.options).sort().join(' ') : ''
    if ('value' in element) found.set(element.value, choices || (found.get(element.value) ?? ''))
    if ('options' in element) for (const { value } of Object.values(element.options)) namesIn(value, found)
  }
  return found
}

/** The forms of number that a message of this language lacks, of what English counts as one and many. */
function formsLacking(elements: readonly Element[], language: string, counted: ReadonlySet<string>): string[] {
  const lacking = elements.flatMap((element) => {
    if (!('options' in element)) return []
    const inside = Object.values(element.options).flatMap(({ value }) => formsLacking(value, language, counted))
    if (!('pluralType' in element) || !counted.has(element.value)) return inside
    return [
      ...inside,
      ...[...formsOf(language, Object.keys(element.options))].filter((form) => !(form in element.options)),
    ]
  })
  return [...new Set(lacking)]
}

/** What is said otherwise of one than of many, wherever it is counted. */
function countedIn(elements: readonly Element[]): Set<string> {
  const all = pluralsIn(elements)
  return new Set(
    all.filter(({ name }) => all.every((one) => one.name !== name || one.tellsOne)).map(({ name }) => name),
  )
}

function pluralsIn(elements: readonly Element[]): { name: string; tellsOne: boolean }[] {
  return elements.flatMap((element) => {
    if (!('options' in element)) return []
    const inside = Object.values(element.options).flatMap(({ value }) => pluralsIn(value))
    if (!('pluralType' in element)) return inside
    return [{ name: element.value, tellsOne: 'one' in element.options || '=1' in element.options }, ...inside]
  })
}

/** So far the forms of whole numbers come back in every language; millions have forms of their own that no page needs. */
const COUNTED_TO = 1000

/** The forms that whole numbers from one on take where none is named by itself, as `=1`. */
function formsOf(language: string, named: readonly string[]): Set<string> {
  const counted = countedForms.get(language) ?? countForms(language)
  countedForms.set(language, counted)
  return new Set(['other', ...counted.filter((_, at) => !named.includes(`=${at + 1}`))])
}

const countedForms = new Map<string, string[]>()

function countForms(language: string): string[] {
  const rules = new Intl.PluralRules(language)
  return Array.from({ length: COUNTED_TO }, (_, at) => rules.select(at + 1))
}

/** Bare words and the number sign of a plural name nothing. */
function isLiteral(element: Element): boolean {
  return element.type === LITERAL || element.type === POUND
}
/** Kinds of elements as the parser numbers them. */
const LITERAL = 0
const POUND = 7
