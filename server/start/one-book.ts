import { practiceBeside } from '../practice-beside.ts'
import { reckonElsewhere, reckoningThread } from '../reckoner/elsewhere.ts'
import type { Settings } from '../settings.ts'
import { shownAddress } from '../settings.ts'
import { loadLocale } from '../web/figures/locale.ts'
import { ownAddress } from '../web/phones.ts'
import { mustBeFree } from './must-be-free.ts'
import { holdBook, openBook } from './open-book.ts'
import { PageThread } from './pages-elsewhere.ts'
import { stopWhenTold } from './stopping.ts'
import { phonesOf, tellPhones } from './tell.ts'

/**
 * Opens the book and lets people in. What may stop it is looked at first, so that nothing is made or changed where it stops;
 * what it sees of the book is said in the terminal. Throws BookProblem, or what `startProblem` tells.
 */
export async function startBook(settings: Settings): Promise<void> {
  const { HOST, PORT, DATABASE, BOOK_LANGUAGE } = settings
  const { t } = loadLocale(BOOK_LANGUAGE)
  const held = holdBook(settings)
  await mustBeFree(HOST, PORT).catch((error) => {
    held.giveBack()
    throw error
  })
  const reckoner = reckoningThread()
  reckonElsewhere(reckoner)
  const thread = new PageThread(reckoner)
  const phones = phonesOf(settings)
  // Told to stop while the book is being opened, it is closed whole too; where opening fails, that is what is said.
  const opening = Promise.resolve().then(() =>
    openBook(held, { thread, practice: practiceBeside(), phones }, console.log),
  )
  const opened = opening.catch(() => undefined)
  const isStopping = stopWhenTold({
    answer: async () => (await opened)?.app.close(),
    close: async () => {
      const book = await opened
      await book?.close()
      if (book) console.log(t('file.start.closed'))
    },
  })
  const book = await opening
  if (isStopping()) return
  try {
    await book.app.listen({ host: HOST, port: PORT })
  } catch (error) {
    if (isStopping()) return
    await book.close()
    throw error
  }
  console.log(`Commonweir: open ${ownAddress(HOST, PORT)} (book: ${shownAddress(DATABASE)})`)
  tellPhones(settings, t)
  await book.tell(console.log)
}
