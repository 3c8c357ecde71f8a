import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { giveCookie } from '../../web/pages/cookies.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { safeNext } from '../../web/safe-next.ts'
import { catalogueOf, catalogues, isSpoken } from '../../web/words/catalogue.ts'
import type { Person } from '../person/store.ts'
import { oneselfOrAnybody } from '../person/whose.ts'
import { LanguageForm } from './forms.ts'
import { chooseLanguage, languagesOf } from './store.ts'

/** A device remembers for so long what was tapped on it. */
const DEVICE_DAYS = 400

/** Before anybody is known: the language of the device in hand, with one tap. */
export function addLanguageEntrance({ post }: Pages): void {
  post('/sign-in/language', 'anybody', tapLanguage)
}

/** In which languages the book speaks, and in which of them to whom. */
export function addLanguagePages({ get, post }: Pages): void {
  get('/people/languages', 'people.see', showLanguages)
  get('/people/settle/language/:id', 'people.see', newLanguage)
  post('/people/settle/language/:id', 'people.see', writeLanguage)
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

async function newLanguage(desk: Desk<'id'>) {
  const person = await oneselfOrAnybody(desk)
  const own = (await languagesOf(desk.db)).persons.get(person.id)
  return show(desk, person, emptyForm({ language: own?.language ?? '', digits: own?.digits ?? '' }))
}

async function writeLanguage(desk: Desk<'id'>) {
  const person = await oneselfOrAnybody(desk)
  const form = readForm(LanguageForm, desk.body)
  if (!form.ok) return show(desk, person, form)
  const { language, digits } = form.data
  if (!catalogues().some(({ tag }) => tag === language)) {
    return show(desk, person, withError(form, 'language', 'error.choose'))
  }
  return write(
    desk,
    (pen) => chooseLanguage(pen, { personId: person.id, fromOn: desk.today, language, digits }),
    () => `/people/${person.id}`,
  )
}

function show(desk: Desk, { id, name }: Person, filled: Filled) {
  return formPage(desk, {
    title: 'language.own-title',
    titleValues: { name },
    form: LanguageForm,
    filled,
    options: { language: languageOptions() },
    action: `/people/settle/language/${id}`,
    intro: ['language.own-intro'],
    back: '/people/languages',
  })
}

/** Each language by its own name. */
function languageOptions() {
  return catalogues().map(({ tag, name }) => ({ value: tag, label: name }))
}
