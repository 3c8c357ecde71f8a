import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { GroupForm } from './forms.ts'
import { groupChoices, groupOfInput, groupProblem, inputOfGroup } from './input.ts'
import { setGroup } from './store.ts'

/** The settings of the group. */
export function addGroupPages({ get, post }: Pages): void {
  get('/works/group', 'group.set', newSettings)
  post('/works/group', 'group.set', writeSettings)
}

async function newSettings(desk: Desk) {
  return show(desk, emptyForm(inputOfGroup(desk.group)))
}

async function writeSettings(desk: Desk) {
  const form = readForm(GroupForm, desk.body)
  if (!form.ok) return show(desk, form)
  const problem = groupProblem(form.data, form)
  if (problem) return show(desk, problem)
  const isOtherDay = form.data.firstWeekday !== String(desk.group.firstWeekday)
  if (isOtherDay && (await desk.parts.people.publishedUntil(desk.db)) !== null) {
    return show(desk, withError(form, 'firstWeekday', 'people.group.weekday-published'))
  }
  return write(
    desk,
    (pen) => setGroup(pen, groupOfInput(form.data), desk.today),
    () => '/people',
  )
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.group.title',
    form: GroupForm,
    filled,
    options: groupChoices(desk.locale.figures, filled.values),
    action: '/works/group',
    back: '/people',
  })
}
