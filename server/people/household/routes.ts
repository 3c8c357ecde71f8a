import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { listPersons } from '../person/store.ts'
import { HouseholdForm } from './forms.ts'
import { householdLines, writeHousehold } from './store.ts'

/** The register of who lives together; what takes somebody out of a household waits for a second officer. */
export function addHouseholdPages({ get, post }: Pages): void {
  get('/people/households', 'people.see', showHouseholds)
  get('/people/settle/lives-together', 'people.register', newHousehold)
  post('/people/settle/lives-together', 'people.register', postHousehold)
}

async function showHouseholds(desk: Desk) {
  const lines = await householdLines(desk.db)
  const shown = lines.map(async (line) => ({ ...line, names: line.stands ? null : await namesShown(desk, line.id) }))
  return page(desk, 'people/household', { title: 'people.household.list-title', lines: await Promise.all(shown) })
}

async function newHousehold(desk: Desk) {
  const { line: id, with: personId } = desk.query
  const line = id ? (await householdLines(desk.db)).find((one) => one.id === id) : undefined
  const personIds = line?.persons.map((one) => one.id) ?? (personId ? [personId] : [])
  return show(desk, emptyForm({ personIds, fromOn: line?.fromOn ?? desk.today }))
}

async function postHousehold(desk: Desk) {
  const form = readForm(HouseholdForm, desk.body)
  if (!form.ok) return show(desk, form)
  const known = new Set<string>((await listPersons(desk.db)).map(({ id }) => id))
  const personIds = [...new Set(form.data.personIds)]
  if (!personIds.every((id) => known.has(id))) return show(desk, withError(form, 'personIds', 'error.choose'))
  return write(
    desk,
    (pen) => writeHousehold(pen, { personIds, fromOn: form.data.fromOn }),
    () => '/people/households',
  )
}

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.household.title',
    form: HouseholdForm,
    filled,
    options: { personIds: (await listPersons(desk.db)).map(numberedOption) },
    action: '/people/settle/lives-together',
    intro: ['people.household.intro', 'people.household.parting'],
    back: '/people/households',
  })
}
