import { existsSync, readFileSync } from 'node:fs'
import { expect, it } from 'vitest'

const security = readFileSync('docs/security.md', 'utf8')
/** Rows of the tables: number, demand, how, proof. */
const rows = security
  .split('\n')
  .filter((line) => /^\| (\d|–)/.test(line))
  .map((line) => line.slice(2, -2).split(' | ') as [string, string, string, string])

it('names for every demand a test file or folder that is there, or the reason why it does not hold', () => {
  expect(rows.length).toBeGreaterThan(100)
  for (const row of rows) {
    expect(row, row[1]).toHaveLength(4)
    const [, demand, , proof] = row
    const named = [...proof.matchAll(/`(tests\/[^`]+)`/g)].map(([, file]) => file!)
    if (named.length === 0) expect(proof, demand).toMatch(/not hold|not apply|no such place|no test/)
    for (const file of named) expect(existsSync(file), file).toBe(true)
  }
})

it('has each demand under the heading of its chapter, and every chapter that applies', () => {
  const chapters = security.split(/^## V(?=\d)/m).slice(1)
  expect(chapters.map((chapter) => Number.parseInt(chapter, 10))).toEqual([
    1, 2, 3, 4, 5, 6, 7, 8, 11, 12, 13, 14, 15, 16,
  ])
  for (const chapter of chapters) {
    const own = `${Number.parseInt(chapter, 10)}.`
    for (const [, number] of chapter.matchAll(/^\| (\d[\d.]*)/gm)) expect(number!.startsWith(own), number).toBe(true)
  }
})
