import { existsSync, globSync, readFileSync } from 'node:fs'
import { extname } from 'node:path'
import { LONGEST } from '../../vitest.config.ts'
import { readHouse } from '../house/map/reading/house.ts'

/** So many of the nearest are asked: a change that they do not see may still be seen far away, by a test of something else. */
const ASKED = 8

/** They take everything, so that whoever takes them does not for that come near a change. */
const TAKES_ALL = /^(seed|server\/app\.ts|server\/start|tests\/(support|loop|bench|attack)|server\/reckoner\/all)/

/**
 * The tests that should see a change in a file, the nearest first: those of its thing (`domain/rotation/day/given.ts` is covered by
 * `tests/rotation/day/`), those that take the file, whether by its path or through others and templates, and those of the room, which may
 * open its pages. A file outside the rooms that none of them takes is on every page: those of the first pages are asked.
 */
export function testsOf(file: string): string[] {
  const [, room, rest] = file.split('/')
  const thing = rest?.replace(/\.\w+$/, '') ?? ''
  const far = distancesFrom(file)
  const own = globSync([`tests/${room}/${thing}/**/*.test.ts`, `tests/${room}/${thing}*.test.ts`])
  const ofRoom = globSync(`tests/${room}/**/*.test.ts`)
  const found = new Set([...own, ...ofRoom, ...[...far.keys()].filter((test) => test.endsWith('.test.ts'))])
  const asked = found.size ? [...found] : globSync(['tests/home/**/*.test.ts', 'tests/web/**/*.test.ts'])
  const slow = (test: string) =>
    [...LONGEST, 'faults', 'story', 'book/merge-p'].some((name) => test.startsWith(`tests/${name}`))
  const place = (test: string) => {
    const steps = Math.min(far.get(test) ?? 6, 6)
    const off = steps === 1 || own.includes(test) ? 0 : ofRoom.includes(test) ? 3 : 4
    return steps + off + (slow(test) ? 5 : 0)
  }
  return asked
    .filter((test) => !test.startsWith('tests/browser/') && !test.startsWith('tests/postgres/'))
    .toSorted((a, b) => place(a) - place(b) || a.localeCompare(b))
    .slice(0, ASKED)
}

/** How many steps of imports and templates lie between a file and each that comes to take it. */
function distancesFrom(file: string): Map<string, number> {
  const far = new Map([[file, 0]])
  for (const [taken, steps] of far) {
    if (TAKES_ALL.test(taken)) continue
    for (const taker of takers().get(taken) ?? []) if (!far.has(taker)) far.set(taker, steps + 1)
  }
  return far
}

let known: Map<string, Set<string>> | undefined

/** Who takes each file: by an import, a template by its name, or the page of a route by its address. */
function takers(): Map<string, Set<string>> {
  if (known) return known
  known = new Map()
  const { modules, templates } = readHouse('.')
  const note = (taken: string, taker: string) => known!.set(taken, (known!.get(taken) ?? new Set()).add(taker))
  const tests = [...modules.values()].filter(({ file }) => file.endsWith('.test.ts'))
  for (const { file, imports, text } of modules.values()) {
    for (const { target } of imports) note(target, file)
    for (const view of viewsIn(text)) note(view, file)
    for (const address of file.endsWith('routes.ts') ? addressesIn(text) : [])
      for (const test of tests) if (test.text.includes(address)) note(file, test.file)
  }
  for (const file of [...modules.keys(), ...templates.map((one) => one.file)])
    for (const test of tests)
      if (test.text.includes(`globSync('${file.split('/')[0]}/**/*${extname(file)}').sort()`)) note(file, test.file)
  for (const { file } of templates) for (const view of viewsIn(readFileSync(file, 'utf8'))) note(view, file)
  return known
}

/** Of `get('/water/levels/:id', …)` what stands before the id; of a door alone nothing, since every test comes through it. */
function addressesIn(text: string): string[] {
  const addresses = [...text.matchAll(/\b(?:get|post)\(\s*'(\/[^':]+)/g)].map(([, address]) => address!)
  return addresses.filter((address) => /^\/\w+\/\w/.test(address))
}

function viewsIn(text: string): string[] {
  const names = [...text.matchAll(/['"`]\/?([\w-]+(?:\/[\w-]+)+)['"`]/g)].map(([, name]) => `views/${name}.eta`)
  return names.filter((name) => existsSync(name))
}
