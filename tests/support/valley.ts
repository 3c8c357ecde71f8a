import { loadExample, PASSWORD } from '../../seed/load.ts'
import { hashPassword } from '../../server/people/password.ts'
import { CHEAP_HASHING, openBook, type TestBook } from './book.ts'
import type { Visitor } from './visitor.ts'

export const VALLEY_TODAY = '2026-11-25'

/** The example valley in memory, on a Wednesday in the middle of its season. */
export async function openValley(): Promise<TestBook & { signIn(name: string): Promise<Visitor> }> {
  const book = await openBook(`${VALLEY_TODAY}T10:00:00Z`)
  const passwordHash = await hashPassword(PASSWORD, CHEAP_HASHING)
  await loadExample(book.db, { today: VALLEY_TODAY, passwordHash })
  return {
    ...book,
    signIn: async (signInName) => {
      const visitor = book.visitor()
      await visitor.fill('/session/new', { signInName, password: PASSWORD })
      return visitor
    },
  }
}
