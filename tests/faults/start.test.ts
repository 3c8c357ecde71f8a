import { statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { fileIsSound, verifyBook } from '../../server/book/verify.ts'
import { openDatabase } from '../../server/database/connection.ts'
import { failedStart, startServer, temporaryFolder } from './process.ts'
import { beginBook, personForms, post, writtenPersons } from './register.ts'

const folder = temporaryFolder()
afterAll(() => folder.remove())

/** What a person reads: sentences, and no trace of the program. */
function expectPlainWords(start: { code: number | null; shown: string }, words: RegExp) {
  expect(start.shown).toMatch(words)
  expect(start.shown).not.toMatch(/\n\s+at |node:internal|Error:/)
  expect(start.code).toBe(1)
}

describe('a start that cannot work says why', () => {
  it('when the port is no number', async () => {
    expectPlainWords(await failedStart({ PORT: 'abc' }), /PORT must be a whole number from 1 to 65535/)
  })

  it('when the book is to be a folder', async () => {
    expectPlainWords(await failedStart({ DATABASE: folder.path }), /DATABASE: .*cannot be opened/)
  })

  it('when the folder of the book does not exist', async () => {
    const path = join(folder.path, 'nowhere', 'book.sqlite')
    expectPlainWords(await failedStart({ DATABASE: path }), /DATABASE: .*cannot be opened/)
  })

  it('when the file is no book', async () => {
    const path = join(folder.path, 'letter.txt')
    writeFileSync(path, 'Dear neighbours, '.repeat(300))
    expectPlainWords(await failedStart({ DATABASE: path }), /DATABASE: .*is not a book/)
  })

  it('when the disk has no room for a book', async () => {
    const path = join(folder.path, 'full.sqlite')
    expectPlainWords(await failedStart({ DATABASE: path }, 16), /DATABASE: .*cannot be written/)
  })

  it('when somebody else listens on the port', async () => {
    const first = await startServer(join(folder.path, 'first.sqlite'))
    const second = await failedStart({ PORT: String(first.port), DATABASE: join(folder.path, 'second.sqlite') })
    await first.kill()
    expectPlainWords(second, /PORT: .*in use/)
  })
})

/** What the book and its log take up now, the larger of the two, in blocks of 512 bytes. */
function blocksOf(file: string): number {
  return Math.ceil(Math.max(...[file, `${file}-wal`].map((one) => statSync(one).size)) / 512)
}

describe('a disk that fills up while people write', () => {
  it('refuses what finds no room, keeps what was answered, and takes the rest once there is room', async () => {
    const file = join(folder.path, 'filling.sqlite')
    let server = await startServer(file)
    const ada = await beginBook(server)
    const forms = await personForms(ada, 200)
    await server.kill()
    server = await startServer(file, { port: server.port, mostBlocks: blocksOf(file) + 400 })
    const answers: Awaited<ReturnType<typeof post>>[] = []
    for (const form of forms) answers.push(await post(ada, form))
    expect(answers[0]).toMatchObject({ status: 303 })
    expect(answers.at(-1)).toMatchObject({ status: 503 })
    await server.kill()

    server = await startServer(file, { port: server.port })
    const db = openDatabase(file)
    expect(await writtenPersons(db)).toHaveLength(answers.filter((answer) => answer?.status === 303).length)
    for (const form of forms) expect(await post(ada, form)).toMatchObject({ status: 303 })
    expect(await writtenPersons(db)).toHaveLength(forms.length)
    expect(await fileIsSound(db)).toBe(true)
    expect((await verifyBook(db)).brokenAt).toBeNull()
    await db.destroy()
    await server.kill()
  })
})
