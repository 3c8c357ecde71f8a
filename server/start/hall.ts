import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { openBookFile, whatLies } from '../database/file/book-file.ts'
import { currentGroup } from '../people/group/store.ts'
import { type HandOn, plumbedApp } from '../plumbing.ts'
import type { Settings } from '../settings.ts'
import { USUAL_COUNTS } from '../web/figures/format.ts'
import { loadLocale } from '../web/figures/locale.ts'
import { NO_NUMBERS } from '../web/forms/numbers.ts'
import { PageError, showError } from '../web/pages/errors.ts'
import { NO_MARKS, page } from '../web/pages/page.ts'
import { addVisit, machineClock } from '../web/pages/visit.ts'

/** Where a request is sent whose book cannot be opened; no book can have such a name. */
export const NOT_OPENED = '/-/not-opened'

interface Hall {
  settings: Settings
  handOn: HandOn
  /** Every group by the name in its address and the one in its book. */
  groups(): { href: string; name: string }[]
}

/** What stands before the doors of all books: one page that names the groups. It opens no book and knows nobody. */
export async function buildHall({ settings, handOn, groups }: Hall): Promise<FastifyInstance> {
  const hall = await plumbedApp({
    log: true,
    trustedProxy: settings.TRUSTED_PROXY,
    isBehindTls: settings.BEHIND_TLS !== false,
    handOn,
  })
  const words = loadLocale(settings.BOOK_LANGUAGE)
  addVisit(hall, {
    now: () => new Date(),
    machineWords: words,
    clock: async (at) => machineClock(at),
    locale: async () => words,
    group: async () => undefined,
    person: async () => undefined,
    doors: () => [],
    ways: () => [],
    measures: { counts: async () => USUAL_COUNTS, own: async () => null },
    marks: async () => NO_MARKS,
    numbers: async () => NO_NUMBERS,
    coming: async () => [],
  })
  hall.setErrorHandler(showError)
  hall.setNotFoundHandler((request, reply) => showError(new PageError(404, 'error.no-such-group'), request, reply))
  hall.get('/', (request, reply) =>
    page({ request, reply }, 'home/groups', { title: 'home.groups-title', groups: groups() }),
  )
  hall.all(NOT_OPENED, async () => {
    throw new PageError(503, 'error.not-opened')
  })
  return hall
}

const ENDING = '.sqlite'
/** A hyphen stands in the names of copies (`kijito-before-0066.sqlite`), which are nobody's book. */
const NAME = /^[a-z0-9_]+$/
/** What stands at the root beside the books. */
const TAKEN = 'assets'

/** The books of a folder by the name before their ending, and the files that are no group's. */
export function booksIn(folder: string): { names: string[]; others: string[] } {
  const files = readdirSync(folder).filter((file) => file.endsWith(ENDING))
  const names = files.map((file) => file.slice(0, -ENDING.length)).filter((name) => isBook(folder, name))
  return { names: names.sort(), others: files.filter((file) => !names.includes(file.slice(0, -ENDING.length))).sort() }
}

/** Whether the first part of an address names a book; it is looked for anew each time, so that a new one needs no new start. */
export function isBook(folder: string, name: string): boolean {
  return NAME.test(name) && name !== TAKEN && whatLies(placeOf(folder, name)) === 'book'
}

export function placeOf(folder: string, name: string): string {
  return join(folder, `${name}${ENDING}`)
}

/** What the groups are called, read from one file after the other while others are served; a book of an older version tells it once opened. */
export async function readTitles(folder: string, titles: Map<string, string>): Promise<void> {
  for (const name of booksIn(folder).names) {
    await new Promise(setImmediate)
    try {
      const book = openBookFile(placeOf(folder, name))
      const group = await currentGroup(book).finally(() => book.destroy())
      if (group && !titles.has(name)) titles.set(name, group.name)
    } catch {
      // What is wrong with it is said when somebody opens it.
    }
  }
}
