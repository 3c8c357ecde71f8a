import { copyFileSync, existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { PASSWORD } from '../../seed/load.ts'
import { endOfBook } from '../../server/book/verify.ts'
import { openBookFile } from '../../server/database/file/book-file.ts'
import { failedStart, type Running, startServer, temporaryFolder } from '../faults/process.ts'
import { valleyFile } from '../support/load-valley.ts'
import { Visitor } from '../support/visitor.ts'
import { walk } from '../support/walk.ts'

const folder = temporaryFolder()
const place = (name: string) => join(folder.path, `${name}.sqlite`)
let server: Running

beforeAll(async () => {
  for (const name of ['kijito', 'mto_wa_juu', 'kijito-before-0001']) copyFileSync(await valleyFile(), place(name))
  writeFileSync(place('letter'), 'Dear neighbours, '.repeat(300))
  server = await startServer('no.sqlite', { more: { BOOKS: folder.path } })
})
afterAll(async () => {
  await server.kill()
  folder.remove()
})

const visitor = () => new Visitor(`http://127.0.0.1:${server.port}`)

async function signedIn(book: string, signInName = 'amaru'): Promise<Visitor> {
  const one = visitor()
  await one.fill(`/${book}/sign-in`, { signInName, password: PASSWORD })
  return one
}

/** What a page sends a browser on to, or loads by itself. */
const ADDRESSES = '[href], [action], [formaction], [src]'
const namesOf = (page: Awaited<ReturnType<Visitor['open']>>) =>
  page.html
    .querySelectorAll(ADDRESSES)
    .flatMap((one) => ['href', 'action', 'formaction', 'src'].map((name) => one.getAttribute(name)))
    .filter((address): address is string => address !== undefined)

describe('many books of one folder', () => {
  it('are named on the page before their doors, those of groups and no others', async () => {
    const hall = await visitor().open('/')
    const books = hall.html.querySelectorAll('main a[href]').map((link) => link.getAttribute('href'))
    expect(books).toEqual(['/kijito/', '/mto_wa_juu/'])
    await server.read(/served to nobody.*kijito-before-0001\.sqlite, letter\.sqlite/)
    expect((await visitor().open('/letter/')).status).toBe(404)
    expect((await visitor().open('/..%2Fkijito/')).status).toBe(404)
  })

  it('of which one cannot be opened say so behind its own door, and the others go on', async () => {
    writeFileSync(place('mto_mkavu'), readFileSync(place('kijito')).fill(0, 8_192))
    const shut = await visitor().open('/mto_mkavu/')
    expect([shut.status, shut.words]).toEqual([503, expect.stringContaining('The book of this group cannot be opened')])
    rmSync(place('mto_mkavu'))
    expect((await visitor().open('/kijito/sign-in')).status).toBe(200)
  })

  it.each(['amaru', 'fanta', 'isko'])('never lead out of a book, whatever %s opens', async (signInName) => {
    const pages = await walk(await signedIn('kijito', signInName), { pagesOfAKind: 1, from: '/kijito/' })
    expect(pages.length).toBeGreaterThan(40)
    expect(pages.filter(({ status }) => status !== 200).map(({ path }) => path)).toEqual([])
    const leaving = pages.flatMap((page) =>
      [page.path, ...namesOf(page)].filter(
        (address) => /^(\/|https?:)/.test(address) && !address.startsWith('/kijito/'),
      ),
    )
    expect([...new Set(leaving)]).toEqual([])
  })

  it('take forms and know nobody of each other', async () => {
    const amaru = await signedIn('kijito')
    const written = await amaru.fill('/kijito/water/levels/new', {})
    expect(written.status).toBe(422)
    expect((await amaru.open('/kijito')).path).toBe('/kijito/')
    expect((await amaru.open('/mto_wa_juu/people')).path).toMatch(/^\/mto_wa_juu\/sign-in\?next=%2Fpeople$/)
  })

  it('are held by this program while they are open, and closed whole', async () => {
    await signedIn('mto_wa_juu')
    const second = await failedStart({ DATABASE: place('mto_wa_juu') })
    expect(second.shown).toMatch(/is open in another start of this program/)
    const { shown } = await server.stop('SIGTERM')
    expect(shown).toMatch(/All books are closed/)
    for (const name of ['kijito', 'mto_wa_juu']) expect(existsSync(`${place(name)}-wal`)).toBe(false)
    const book = openBookFile(place('kijito'))
    expect((await endOfBook(book)).entries).toBeGreaterThan(100)
    await book.destroy()
  })
})
