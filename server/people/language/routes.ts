import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { giveCookie } from '../../web/pages/cookies.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { safeNext } from '../../web/safe-next.ts'
import { catalogueOf, catalogues, isSpoken } from '../../web/words/catalogue.ts'
import { GroupLanguageForm } from './forms.ts'
import { languageOptions } from './options.ts'
import { chooseGroupLanguage, groupLanguageOn, languagesOf } from './store.ts'

/** A device remembers for so long what was tapped on it. */
const DEVICE_DAYS = 400

/** Before anybody is known: the language of the device in hand, with one tap. */
export function addLanguageEntrance({ post }: Pages): void {
  post('/sign-in/language', 'anybody', tapLanguage)
}

/** In which languages the book speaks, and how far each is. */
export function addLanguagePages({ get, post }: Pages): void {
  get('/people/languages', 'people.see', showLanguages)
  get('/people/settle/group-language', 'group.set', newOfGroup)
  post('/people/settle/group-language', 'group.set', writeOfGroup)
}

async function tapLanguage(desk: Desk) {
  const tag = desk.posted('language') ?? ''
  if (isSpoken(tag)) giveCookie(desk.reply, 'language', catalogueOf(tag).tag, DEVICE_DAYS)
  return desk.reply.redirect(safeNext(desk.posted('next')), 303)
}

async function newOfGroup(desk: Desk) {
  const now = await groupLanguageOn(desk.db, desk.today)
  return showOfGroup(desk, emptyForm({ language: now?.language ?? '', digits: now?.digits ?? '', fromOn: desk.today }))
}

async function writeOfGroup(desk: Desk) {
  const form = readForm(GroupLanguageForm, desk.body)
  if (!form.ok) return showOfGroup(desk, form)
  const { language, fromOn } = form.data
  if (fromOn < desk.today) return showOfGroup(desk, withError(form, 'fromOn', 'language.of-group.past'))
  if (!catalogues().some(({ tag }) => tag === language))
    return showOfGroup(desk, withError(form, 'language', 'error.choose'))
  return write(
    desk,
    (pen) => chooseGroupLanguage(pen, form.data),
    () => '/people/languages',
  )
}

function showOfGroup(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'language.of-group.title',
    form: GroupLanguageForm,
    filled,
    options: { language: languageOptions() },
    action: '/people/settle/group-language',
    intro: ['language.of-group.intro'],
    back: '/people/languages',
  })
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
