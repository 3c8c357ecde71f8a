import { existsSync, globSync, readFileSync } from 'node:fs'
import { basename, extname } from 'node:path'
import { LONGEST } from '../../vitest.config.ts'
import { readHouse } from '../house/map/reading/house.ts'

/** So many of the nearest are asked: a change that they do not see may still be seen far away, by a test of something else. */
const ASKED = 8

const ALSO_LONG = ['faults', 'story', 'speed', 'book/merge-p']

/** What holds on every page and for every question to the book: asked last, of each change in what a page is made of. */
const LAWS = 'tests/laws/*.test.ts'

/** They take everything, so that whoever takes them does not for that come near a change. */
const TAKES_ALL = /^(seed|server\/app\.ts|server\/start|tests\/(support|loop|bench|attack)|server\/reckoner\/all)/

/**
 * The tests that should see a change in a file, the nearest first: those of its thing (`domain/rotation/day/given.ts` is covered by
 * `tests/rotation/day/`) or of its own name, those that take the file, whether by its path or through others and templates, and those of the room, which may
 * open its pages. A file outside the rooms that none of them takes is on every page: those of the first pages are asked.
 */
export function testsOf(file: string): string[] {
  const [, room, rest] = file.split('/')
  const thing = rest?.replace(/\.\w+$/, '') ?? ''
  const far = distancesFrom(file)
  const name = basename(file, extname(file))
  const named = name === 'page' ? [] : [rest ? `tests/${room}/**/${name}.test.ts` : `tests/**/${name}.test.ts`]
  const own = globSync([`tests/${room}/${thing}/**/*.test.ts`, `tests/${room}/${thing}*.test.ts`, ...named])
  const ofRoom = globSync(`tests/${room}/**/*.test.ts`)
  const found = new Set([...own, ...ofRoom, ...[...far.keys()].filter((test) => test.endsWith('.test.ts'))])
  const asked = found.size ? [...found] : globSync(['tests/home/**/*.test.ts', 'tests/web/**/*.test.ts'])
  const slow = (test: string) => [...LONGEST, ...ALSO_LONG].some((name) => test.startsWith(`tests/${name}`))
  const place = (test: string) => {
    if (file.endsWith('.eta') && test.startsWith('tests/web/figures')) return 0 // They see most of it, in a second.
    const steps = Math.min(far.get(test) ?? 6, 6)
    // One that takes the file itself comes before those of its thing that do not come to it at all.
    const off = steps === 1 ? -0.1 : ofRoom.includes(test) ? 3 : 4
    return (own.includes(test) ? steps / 6 : steps + off) + (slow(test) ? 5 : 0)
  }
  const nearest = asked
    .filter((test) => !test.startsWith('tests/browser/') && !test.startsWith('tests/postgres/'))
    .toSorted((a, b) => place(a) - place(b) || a.localeCompare(b))
    .slice(0, ASKED)
  return file.startsWith('domain/') ? nearest : [...new Set([...nearest, ...globSync(LAWS).sort()])]
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
      for (const test of tests) if (opens(test, address, file.split('/')[1]!)) note(file, test.file)
  }
  for (const file of [...modules.keys(), ...templates.map((one) => one.file)])
    for (const test of tests)
      if (test.text.includes(`globSync('${file.split('/')[0]}/**/*${extname(file)}').sort()`)) note(file, test.file)
  for (const { file } of templates) for (const view of viewsIn(readFileSync(file, 'utf8'))) note(view, file)
  return known
}

/** Whether a test speaks of an address: of `/water/weirs/:id/chamber` its end, since it most often has the beginning from a page before. */
function opens({ file, text }: { file: string; text: string }, address: string, room: string): boolean {
  const [begin, end] = [address.split(':')[0]!, /:\w+((?:\/[a-z-]+)+)$/.exec(address)?.[1]]
  if (!end) return text.includes(begin)
  return text.includes(end) && (text.includes(begin) || file.startsWith(`tests/${room}/`))
}

/** Those of a door alone say nothing, since every test comes through it. */
function addressesIn(text: string): string[] {
  const addresses = [...text.matchAll(/\b(?:get|post)\(\s*'(\/[^']+)'/g)].map(([, address]) => address!)
  return addresses.filter((address) => /^\/\w+\/\w/.test(address))
}

function viewsIn(text: string): string[] {
  const named = [...text.matchAll(/['"`]\/?([\w-]+(?:\/[\w-]+)+)['"`]|\bpage\(\w+, '([\w-]+)'/g)]
  const names = named.map(([, inFolder, alone]) => `views/${inFolder ?? alone}.eta`)
  return names.filter((name) => existsSync(name))
}
