import { existsSync } from 'node:fs'
import type { IncomingMessage, ServerResponse } from 'node:http'
import { BookProblem, problemOf } from '../database/file/problem.ts'
import { currentGroup } from '../people/group/store.ts'
import type { Handler } from '../plumbing.ts'
import { reckonElsewhere, reckoningThread } from '../reckoner/elsewhere.ts'
import type { Settings } from '../settings.ts'
import { loadLocale } from '../web/figures/locale.ts'
import { ownAddress } from '../web/phones.ts'
import { booksIn, buildHall, isBook, NOT_OPENED, placeOf, readTitles } from './hall.ts'
import { mustBeFree } from './must-be-free.ts'
import { holdBook, type OpenBook, openBook } from './open-book.ts'
import { PageThread } from './pages-elsewhere.ts'
import { Shelf } from './shelf.ts'
import { stopWhenTold } from './stopping.ts'
import { phonesOf, tellPhones } from './tell.ts'

const LOOK_MS = 60_000

/**
 * Serves every book of a folder from one process, each under its own name: `/kijito/...` is `kijito.sqlite`. Books share nothing but
 * the program: each has its own file, lock, cookies and sessions. Throws what `startProblem` tells.
 */
export async function startFolder(settings: Settings & { BOOKS: string }): Promise<void> {
  const { HOST, PORT, BOOKS, BOOK_LANGUAGE } = settings
  const { t } = loadLocale(BOOK_LANGUAGE)
  if (!existsSync(BOOKS)) throw new BookProblem('no-books-folder', { place: BOOKS })
  await mustBeFree(HOST, PORT)
  const reckoner = reckoningThread()
  reckonElsewhere(reckoner)
  const thread = new PageThread(reckoner)
  const phones = phonesOf(settings)
  const titles = new Map<string, string>()
  const shelf = new Shelf((name) => openOne(settings, { name, phones, titles, thread }))
  const hall = await buildHall({
    settings,
    handOn: (request, response, own) => handOn({ shelf, BOOKS, request, response, own }),
    groups: () => booksIn(BOOKS).names.map((name) => ({ href: `/${name}/`, name: titles.get(name) ?? name })),
  })
  await hall.listen({ host: HOST, port: PORT })
  const idle = setInterval(() => void shelf.closeIdle(), LOOK_MS)
  stopWhenTold({
    answer: () => hall.close(),
    close: async () => {
      clearInterval(idle)
      await shelf.closeAll()
      console.log(t('file.start.closed-all'))
    },
  })
  void readTitles(BOOKS, titles)
  const { names, others } = booksIn(BOOKS)
  console.log(`Commonweir: open ${ownAddress(HOST, PORT)} (books: ${BOOKS}, ${names.length})`)
  tellPhones(settings, t)
  if (others.length > 0) console.log(t('file.start.no-group', { files: others.join(', ') }))
}

interface Asked {
  shelf: Shelf<OpenBook>
  BOOKS: string
  request: IncomingMessage
  response: ServerResponse
  own: Handler
}

/** Gives a request to the book that its address names, without that name; any other stays in the hall. */
async function handOn({ shelf, BOOKS, request, response, own }: Asked): Promise<void> {
  const [, name = '', rest = ''] = /^\/([^/?]*)(.*)$/.exec(request.url ?? '') ?? []
  if (!shelf.has(name) && !isBook(BOOKS, name)) return own(request, response)
  // Cookies belong to what lies below the name.
  if (!rest.startsWith('/')) return void response.writeHead(308, { location: `/${name}/${rest}` }).end()
  try {
    const { book, done } = await shelf.take(name)
    response.once('close', done)
    request.url = rest
    book.app.routing(request, response)
  } catch (error) {
    const problem = problemOf(error, placeOf(BOOKS, name))
    console.error(`${name}: ${problem ? loadLocale('en').t(`file.problem.${problem.code}`, problem.values) : error}`)
    request.url = NOT_OPENED
    own(request, response)
  }
}

interface One {
  name: string
  phones: () => string[]
  titles: Map<string, string>
  thread: PageThread
}

async function openOne(
  settings: Settings & { BOOKS: string },
  { name, phones, titles, thread }: One,
): Promise<OpenBook> {
  const prefix = `/${name}`
  const say = (sentence: string) => console.log(`${name}: ${sentence}`)
  const held = holdBook({ ...settings, DATABASE: placeOf(settings.BOOKS, name) })
  const book = await openBook(held, { thread, prefix, phones: () => phones().map((url) => `${url}${prefix}/`) }, say)
  await book.tell(say)
  const group = await currentGroup(book.db)
  if (group) titles.set(name, group.name)
  return book
}
