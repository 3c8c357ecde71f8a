import { describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { startedBook } from '../support/book.ts'
import { personForms, post, writtenPersons } from './register.ts'

const FORMS = 200

describe('a network that sends every form twice at once', () => {
  it('makes one entry of each of two hundred forms and gives both sendings the same answer', async () => {
    const { ada, db } = await startedBook()
    const forms = await personForms(ada, FORMS)
    const answers = await Promise.all(forms.map(async (form) => Promise.all([post(ada, form), post(ada, form)])))
    for (const [first, second] of answers) {
      expect(first).toMatchObject({ status: 303 })
      expect(second).toEqual(first)
    }
    const written = await writtenPersons(db)
    expect(written).toHaveLength(FORMS)
    for (const person of written) expect(person).toMatchObject({ roles: 1, accounts: 1 })
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })
})
