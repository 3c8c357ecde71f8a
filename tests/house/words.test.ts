import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'

const FOLDER = join(import.meta.dirname, '../../views/locales/en')

/** Words that whoever left school at eleven does not know; where the science's own word must stand, it stands in a working. */
const TOO_LEARNED =
  /tranche|thinkable|\btz database|ISO 4217|to post\b|opening line|drawn down|root zone|lexicographic|relief by minute|Gini|Jain|to the power of|scrypt|outside the chain|clicked away|certificate|(?<!\{)\b(tolerance|recharge|permits?|class(es)?|claims?|gaugings?)\b/i

/**
 * Words of a trade, each with a plain one on the pages: foot pipe, top of the wall, water of the week, limit, stone baskets, accounts, a debt let
 * off, phone money, check number, charged. What a command prints (`file.json`) is for whoever runs the program.
 */
const OF_A_TRADE =
  /(?<!\{)\b(off-takes?|crests?|release[ds]?|ceilings?|gabions?|ledgers?|reliefs?|wallets?|hash(es)?|post(ed)?)\b(?!\})/i

/** Where a figure comes from is told in its working and in docs/methods.md, not beside the line that somebody fills in. */
const OUR_NOTES = /common practice|no source|memory\b/i

/**
 * Second names of what has one already: the hours that nobody has are free, what a member reads of the own money is an account, and the
 * stream has its rest days, here and in every guide.
 */
const SECOND_NAMES =
  /\bopen hours\b|statements? of (all|\{name)|your statement|write a cash count|rest day (for|of the sand)|downstream day/i

/** Workings, their sources and equations. */
const IS_WORKING = /working|source|equation|method-|^csv\.|^record\.|^pumps\.identity$|^rooted-part$/

const everyWord = (unread: readonly string[]) =>
  readdirSync(FOLDER, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.json') && name !== 'catalogue.json' && !unread.includes(name))
    .flatMap((name) => Object.entries(JSON.parse(readFileSync(join(FOLDER, name), 'utf8')) as Record<string, string>))

it.each([
  ['a word that has to be learned first', TOO_LEARNED, []],
  ['a word of a trade that has a plain one', OF_A_TRADE, ['file.json']],
  ['a second name of one thing', SECOND_NAMES, []],
  ['a note of ours on where a figure comes from', OUR_NOTES, []],
])('no page outside the workings shows %s', (_, unwanted, unread) => {
  const shown = everyWord(unread)
  expect(shown.length).toBeGreaterThan(4000)
  expect(shown.filter(([key, words]) => unwanted.test(words) && !IS_WORKING.test(key))).toEqual([])
})
