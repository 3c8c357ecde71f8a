import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { catalogues } from '../../web/words/catalogue.ts'
import { LanguageForm } from '../language/forms.ts'
import { languageOptions } from '../language/options.ts'
import { chooseLanguage, languagesOf } from '../language/store.ts'
import type { Person } from './store.ts'
import { oneselfOrAnybody } from './whose.ts'

/** In which language the book speaks to somebody: chosen by oneself, or by the committee for anybody. */
export function addOwnLanguagePages({ get, post }: Pages): void {
  get('/people/settle/language/:id', 'people.see', newLanguage)
  post('/people/settle/language/:id', 'people.see', writeLanguage)
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
