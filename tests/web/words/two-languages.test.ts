import { expect, it } from 'vitest'
import { ROLES } from '../../../domain/people/permissions.ts'
import type { Database } from '../../../server/database/connection.ts'
import { chooseLanguage } from '../../../server/people/language/store.ts'
import { setRoles } from '../../../server/people/person/store.ts'
import { catalogueOf } from '../../../server/web/words/catalogue.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { walk } from '../../support/walk.ts'

/** Where the languages stand beside each other, or a print is for somebody else than its reader. */
const BOTH = /^\/people\/languages|\/sheet$|\/slips?(\/|$)|as=card|as=message|^\/money\/receipts\//

/** Every kind of page is opened three times. */
const LONGEST_MS = 900_000

it(
  'no page brings one reader a sentence of the other’s language, whoever opened it first',
  async () => {
    const valley = await openValley()
    const idOf = async (name: string) =>
      (await valley.db.selectFrom('person').select('entryId').where('signInName', '=', name).executeTakeFirstOrThrow())
        .entryId
    const [amaruId, doviId] = [await idOf('amaru'), await idOf('dovi')]
    await valley.db.transaction().execute(async (trx) => {
      const pen = { trx, writtenBy: amaruId, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` }
      for (const id of [amaruId, doviId]) await setRoles(pen, id, ROLES, VALLEY_TODAY)
      await chooseLanguage(pen, { personId: doviId, fromOn: VALLEY_TODAY, language: 'sw', digits: null })
    })
    const [amaru, dovi] = [await valley.signIn('amaru'), await valley.signIn('dovi')]
    const written = await writtenIn(valley.db)
    const [isEnglish, isSwahili] = [sentencesOf('en', 'sw', written), sentencesOf('sw', 'en', written)]
    const pages = (await walk(amaru, { pagesOfAKind: 1 })).filter(({ path }) => !BOTH.test(path))
    const leaks: string[] = []
    let met = 0
    for (const { path, text } of pages) {
      const own = (await dovi.open(path)).text
      const again = (await amaru.open(path)).text
      leaks.push(...saidOn(own, isEnglish).map((words) => `${path} in Swahili: ${words}`))
      for (const page of [text, again])
        leaks.push(...saidOn(page, isSwahili).map((words) => `${path} in English: ${words}`))
      met += saidOn(own, isSwahili).length
    }
    expect(pages.length).toBeGreaterThan(150)
    expect(met).toBeGreaterThan(500)
    expect([...new Set(leaks)]).toEqual([])
  },
  LONGEST_MS,
)

/** The sentences that stand on a page, each in a place of its own. */
function saidOn(page: string, isOwn: (words: string) => boolean): string[] {
  return page
    .split(/<[^>]*>/)
    .map((text) => text.trim())
    .filter(isOwn)
}

/** Tells sentences of one language that stand in no message of the other, as a page writes them. Each is sought elsewhere once it is met. */
function sentencesOf(tag: string, other: string, written: string): (words: string) => boolean {
  const others = [...catalogueOf(other).messages.values()].join('\n')
  const own = new Set(
    [...catalogueOf(tag).messages.values()].filter(
      (words) => /^[^{}'<>&"]{18,}$/.test(words) && words.split(' ').length > 3,
    ),
  )
  const told = new Map<string, boolean>()
  return (words) => {
    if (!own.has(words)) return false
    const isOnlyHere = told.get(words) ?? (!others.includes(words) && !written.includes(words))
    told.set(words, isOnlyHere)
    return isOnlyHere
  }
}

/** What people wrote stays in the words they wrote. */
async function writtenIn(db: Database): Promise<string> {
  const texts: string[] = []
  for (const { name } of await db.introspection.getTables()) {
    const rows = await db
      .selectFrom(name as never)
      .selectAll()
      .execute()
    for (const value of rows.flatMap((row) => Object.values(row as object)))
      if (typeof value === 'string') texts.push(value)
  }
  return texts.join('\n')
}
