import type { ClipKey } from './clips.ts'

/** How a language puts a number together from what was recorded of it. */
interface NumberWay {
  /** Whether "and" is said between what stands there and the rest, a number below it. */
  joins: (before: 'tens' | 'hundreds' | 'thousands', rest: number) => boolean
  /** "Thousand twelve" for 12,000. */
  thousandFirst?: boolean
  /** A hundred with something after it is another word than a hundred alone. */
  hundredChanges?: boolean
}

/** What the languages of the catalogue do; checked against spelled-out numbers in `tests/people/voice/number.test.ts`. */
const WAYS: Record<string, NumberWay> = {
  en: { joins: (before, rest) => before === 'hundreds' || (before === 'thousands' && rest < 100) },
  pt: { joins: (before, rest) => before !== 'thousands' || rest < 100 || rest % 100 === 0, hundredChanges: true },
  sw: { joins: (_, rest) => rest < 10, thousandFirst: true },
}

const MOST = 999_999

/**
 * The clips of a whole number from 0 to 999,999 or of a half, in the order of a language (BCP 47 tag); of one that is not
 * known as in Swahili, with "and" before the last single figure. Null for any other number: it is not said.
 */
export function numberClips(value: number, language: string): ClipKey[] | null {
  const whole = Math.floor(value)
  const rest = value - whole
  if (!(value >= 0) || whole > MOST || (rest !== 0 && rest !== 0.5)) return null
  if (value === 0.5) return ['onlyHalf']
  const way = WAYS[language.split('-')[0]!] ?? WAYS.sw!
  return [...wholeClips(whole, way), ...(rest ? (['half'] as const) : [])]
}

function wholeClips(value: number, way: NumberWay): ClipKey[] {
  if (value >= 1000) return joined(thousands(Math.floor(value / 1000), way), 'thousands', value % 1000, way)
  const below = value % 100
  if (value >= 100) {
    const changes = way.hundredChanges && value > 100 && value < 200
    return joined([changes ? 'n100more' : `n${value - below}`], 'hundreds', below, way)
  }
  return value > 20 ? joined([`n${value - (value % 10)}`], 'tens', value % 10, way) : [`n${value}`]
}

function thousands(count: number, way: NumberWay): ClipKey[] {
  if (count < 10) return [`n${count * 1000}`]
  const own = wholeClips(count, way)
  return way.thousandFirst ? ['thousand', ...own] : [...own, 'thousand']
}

function joined(head: ClipKey[], before: Parameters<NumberWay['joins']>[0], rest: number, way: NumberWay): ClipKey[] {
  if (rest === 0) return head
  return [...head, ...(way.joins(before, rest) ? (['and'] as const) : []), ...wholeClips(rest, way)]
}
