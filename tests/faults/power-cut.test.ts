import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { fileIsSound, verifyBook } from '../../server/book/verify.ts'
import { openDatabase } from '../../server/database/connection.ts'
import { attacks, tellAttack } from '../attack/times.ts'
import type { Fields, Visitor } from '../support/visitor.ts'
import { type Running, startServer, temporaryFolder } from './process.ts'
import { beginBook, personForms, post, writtenPersons } from './register.ts'

const FORMS = 200
/** The power goes when so many forms have been answered: in the test line once, else at ten places. */
const CUTS = Array.from({ length: attacks(1) }, (_, at) => 25 + 12 * at)

describe.each(CUTS)('when the power goes after %s of many forms that are being sent', (cutAfter) => {
  const folder = temporaryFolder()
  const file = join(folder.path, 'book.sqlite')
  let server: Running
  let ada: Visitor
  let forms: Fields[]
  const acknowledged: string[] = []

  beforeAll(async () => {
    server = await startServer(file)
    ada = await beginBook(server)
    forms = await personForms(ada, FORMS)
    let cut: Promise<void> | undefined
    const sendings = forms.map(async (form) => {
      if ((await post(ada, form))?.status === 303) acknowledged.push(form._form as string)
      if (acknowledged.length === cutAfter) cut ??= server.kill()
    })
    await Promise.all(sendings)
    await cut
  })
  afterAll(async () => {
    await server.kill()
    folder.remove()
  })

  it('happens in the middle', () => {
    expect(acknowledged.length).toBeGreaterThanOrEqual(cutAfter)
    expect(acknowledged.length).toBeLessThan(FORMS)
    tellAttack('power cut', { answered: acknowledged.length, sent: FORMS })
  })

  it('leaves every form whole in the book or not at all, and none lost that was answered', async () => {
    const db = openDatabase(file)
    expect(await fileIsSound(db)).toBe(true)
    expect((await verifyBook(db)).brokenAt).toBeNull()
    const written = await writtenPersons(db)
    for (const person of written) expect(person).toMatchObject({ roles: 1, accounts: 1 })
    const keys = written.map(({ formKey }) => formKey)
    expect(keys).toEqual(expect.arrayContaining(acknowledged))
    expect(keys.length).toBeLessThan(FORMS)
    await db.destroy()
  })

  it('makes no double when all forms are sent again after the start', async () => {
    server = await startServer(file, { port: server.port })
    for (const form of forms) expect(await post(ada, form)).toMatchObject({ status: 303 })
    const db = openDatabase(file)
    const written = await writtenPersons(db)
    expect(new Set(written.map(({ formKey }) => formKey)).size).toBe(FORMS)
    expect(written).toHaveLength(FORMS)
    expect((await verifyBook(db)).brokenAt).toBeNull()
    await db.destroy()
  })
})
