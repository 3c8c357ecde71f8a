import { readFileSync } from 'node:fs'
import { PASSWORD } from '../../seed/load.ts'
import { openBook, type Routes, type TestBook } from './book.ts'
import { VALLEY_TODAY, valleyFile } from './load-valley.ts'
import type { Visitor } from './visitor.ts'

export { VALLEY_TODAY } from './load-valley.ts'

/** The example valley in memory, on a Wednesday in the middle of its season. */
export async function openValley(): Promise<TestBook & { app: Routes; signIn(name: string): Promise<Visitor> }> {
  const book = await openBook(`${VALLEY_TODAY}T10:00:00Z`, readFileSync(await valleyFile()))
  return {
    ...book,
    app: await book.routes(),
    signIn: async (signInName) => {
      const visitor = book.visitor()
      await visitor.fill('/sign-in', { signInName, password: PASSWORD })
      return visitor
    },
  }
}
