import { NAME_NEEDED, waitingForNames } from '../../book/name-needed.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { hasSecondOfficer } from '../person/grave-store.ts'
import { changedWords } from './changed-state.ts'
import { GroupForm } from './forms.ts'
import { groupChoices, groupOfInput, groupProblem, inputOfGroup } from './input.ts'
import { asksForName, groupChanges, setGroup } from './store.ts'

/** The settings of the group. */
export function addGroupPages({ get, post }: Pages): void {
  get('/works/group', 'group.set', newSettings)
  post('/works/group', 'group.set', writeSettings)
  get('/people/names/group/:id', 'office.give', showChange)
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
  if (await waitingChange(desk)) return show(desk, withError(form, 'name', 'people.group.waits-already'))
  const { db, group, person, at, today } = desk
  const after = groupOfInput(form.data)
  const asks =
    (await asksForName(db, { before: group, after, at })) &&
    (await hasSecondOfficer(db, { writerId: person.id, personId: null, at, today }))
  return write(
    desk,
    (pen) => setGroup(pen, after, today, asks ? NAME_NEEDED : {}),
    (id) => (asks ? `/people/names/group/${id}` : '/people'),
  )
}

/** What one change of the settings is, for whoever is asked for a second name. */
async function showChange(desk: Desk<'id'>) {
  const { before, after, writerName, writtenAt, id, stands } = found((await groupChanges(desk.db)).get(desk.params.id))
  return page(desk, 'people/group/change', {
    title: 'people.group.change-title',
    lines: changedWords(desk, before, after),
    written: { name: writerName, when: desk.format.instant(writtenAt) },
    // What stands needs nobody, nor did what was written while the book was new.
    names: stands ? null : await namesShown(desk, id),
  })
}

async function waitingChange({ db }: Desk) {
  return (await waitingForNames(db)).find(({ kind }) => kind === 'group-setting')
}

async function show(desk: Desk, filled: Filled) {
  const waiting = await waitingChange(desk)
  return formPage(desk, {
    title: 'people.group.title',
    form: GroupForm,
    filled,
    options: groupChoices(desk.locale.figures, filled.values),
    action: '/works/group',
    intro: ['people.group.two-names'],
    back: '/people',
    ...(waiting ? { beside: { href: `/people/names/group/${waiting.id}`, words: 'people.group.waits' } } : {}),
  })
}
