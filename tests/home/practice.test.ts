import { createServer } from 'node:net'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { openDatabase } from '../../server/database/connection.ts'
import { startServer, temporaryFolder } from '../faults/process.ts'
import { beginBook } from '../faults/register.ts'
import { type Seen, Visitor } from '../support/visitor.ts'

const folder = temporaryFolder()
afterAll(() => folder.remove())
const book = join(folder.path, 'own.sqlite')
const SAID = 'Practice. Everything here is invented'

/** What the own book holds, read from its file. */
async function ownEnd() {
  const db = openDatabase(book)
  const entries = await db.selectFrom('entry').select(['hash']).orderBy('seq').execute()
  await db.destroy()
  return { entries: entries.length, lastHash: entries.at(-1)!.hash }
}

async function until<T>(ask: () => Promise<T | null>): Promise<T> {
  for (;;) {
    const found = await ask()
    if (found !== null) return found
    await new Promise((resolve) => setTimeout(resolve, 200))
  }
}

it('opens beside the own book, says on every page that it is practice, and never touches that book', async () => {
  const server = await startServer(book)
  // Some other program has the next port: this one, or whichever came before it.
  const other = createServer().on('error', () => undefined)
  other.listen(server.port + 1, '127.0.0.1')
  try {
    const ada = await beginBook(server)
    const before = await ownEnd()
    expect((await ada.open('/book')).html.querySelector('a[href="/practice"]')).not.toBeNull()
    await ada.fill('/practice', {}, { action: '/practice' })
    const address = await until(async () => {
      const page = await ada.open('/practice')
      if (page.words.includes('could not be opened')) throw new Error(page.words)
      return page.html.querySelector('a[href$="/sign-in?as=example"]')?.getAttribute('href') ?? null
    })
    const port = Number(new URL(address).port)
    expect(address).toBe(`http://127.0.0.1:${port}/sign-in?as=example`)
    expect(port).toBeGreaterThan(server.port + 1)

    // Cookies know no ports: the practice has names of its own, so that nobody is signed out of the own book.
    const practice = `http://127.0.0.1:${port}`
    const signIn = await fetch(`${practice}/sign-in`)
    const names = signIn.headers.getSetCookie().map((cookie) => cookie.split('=')[0]!)
    expect(names.length).toBeGreaterThan(0)
    expect(names.every((name) => name.startsWith('practice_'))).toBe(true)

    const amaru = new Visitor(practice)
    const inside = await amaru.fill('/sign-in', { signInName: 'amaru', password: 'practice valley' })
    const marked = (page: Seen) => page.html.querySelector('body > .practice')?.text ?? ''
    for (const path of ['/', '/people', '/turns', '/water', '/money', '/people/decisions', '/no-such-page'])
      expect(marked(await amaru.open(path)), path).toContain(SAID)
    expect(inside.html.querySelector('title')!.text).toMatch(/^Practice:/)
    const number = '99/1'
    await amaru.fill('/people/decisions/new', { number, metOn: '2020-01-01', words: 'only to try', body: 'meeting' })
    expect((await amaru.open('/people/decisions')).words).toContain('only to try')

    expect(marked(await ada.open('/'))).toBe('')
    expect((await ada.open('/people/decisions')).words).not.toContain('only to try')
    expect(await ownEnd()).toEqual(before)

    // It ends with the book that opened it, however that ends.
    await server.kill()
    await until(async () =>
      fetch(`${practice}/sign-in`).then(
        () => null,
        () => true,
      ),
    )
    expect(await ownEnd()).toEqual(before)
  } finally {
    other.close()
    await server.kill()
  }
}, 300_000)
