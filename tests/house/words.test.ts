import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'

const FOLDER = join(import.meta.dirname, '../../views/locales/en')

/** Words that whoever left school at eleven does not know; where the science's own word must stand, it stands in a working. */
const TOO_LEARNED =
  /tranche|thinkable|\btz database|ISO 4217|to post\b|opening line|drawn down|root zone|lexicographic|relief by minute|Gini|Jain/i

/** Workings, their sources and equations. */
const IS_WORKING = /working|source|equation|method-/

it('no page outside the workings shows a word that has to be learned first', () => {
  const shown = readdirSync(FOLDER, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.json'))
    .flatMap((name) => Object.entries(JSON.parse(readFileSync(join(FOLDER, name), 'utf8')) as Record<string, string>))
  expect(shown.length).toBeGreaterThan(4000)
  expect(shown.filter(([key, words]) => TOO_LEARNED.test(words) && !IS_WORKING.test(key))).toEqual([])
})
