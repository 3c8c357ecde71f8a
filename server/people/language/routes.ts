import { giveCookie } from '../../web/pages/cookies.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { safeNext } from '../../web/safe-next.ts'
import { catalogueOf, catalogues, isSpoken } from '../../web/words/catalogue.ts'
import { languagesOf } from './store.ts'

/** A device remembers for so long what was tapped on it. */
const DEVICE_DAYS = 400

/** Before anybody is known: the language of the device in hand, with one tap. */
export function addLanguageEntrance({ post }: Pages): void {
  post('/sign-in/language', 'anybody', tapLanguage)
}

/** In which languages the book speaks, and how far each is. */
export function addLanguagePages({ get }: Pages): void {
  get('/people/languages', 'people.see', showLanguages)
}

async function tapLanguage(desk: Desk) {
  const tag = desk.posted('language') ?? ''
  if (isSpoken(tag)) giveCookie(desk.reply, 'language', catalogueOf(tag).tag, DEVICE_DAYS)
  return desk.reply.redirect(safeNext(desk.posted('next')), 303)
}

async function showLanguages(desk: Desk) {
  const { locale } = await desk.wordsFor(null)
  const own = (await languagesOf(desk.db)).words
  const all = catalogueOf('en').messages.size
  return page(desk, 'people/language/list', {
    title: 'language.title',
    spoken: catalogues().map(({ tag, name, dir, state, messages }) => ({
      tag,
      name,
      dir,
      state,
      own: own.get(tag)?.size ?? 0,
      isGroups: catalogueOf(locale.language).tag === tag,
      words: desk.t('language.of-words', { done: desk.format.whole(messages.size), all: desk.format.whole(all) }),
    })),
  })
}
