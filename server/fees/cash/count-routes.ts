import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { listPersons } from '../../people/person/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { type CashCount, listCounts, recordCount } from './count-store.ts'
import { showCount } from './decision-routes.ts'
import { countForm } from './forms.ts'

/** The cash box, counted by two people: what the book said then and what was counted stay side by side for ever. */
export function addCountPages({ get, post }: Pages): void {
  get('/money/count', 'payment.record', newCount)
  post('/money/count', 'payment.record', writeCount)
  get('/money/names/count/:id', 'turns.see', async (desk) => showCount(desk, await countFor(desk), emptyForm()))
  post('/money/names/count/:id', 'turns.see', confirmCount)
}

async function newCount(desk: Desk) {
  return showCountForm(desk, emptyForm({ column: 'cash', countedOn: desk.today }))
}

async function writeCount(desk: Desk) {
  const form = readForm(countForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showCountForm(desk, form)
  const { column, countedOn, counted, secondId } = form.data
  const others = (await listPersons(desk.db)).filter((person) => person.id !== desk.person.id)
  if (!others.some((person) => person.id === secondId)) {
    return showCountForm(desk, withError(form, 'secondId', 'cash.count.second-other'))
  }
  if (countedOn > desk.today) {
    return showCountForm(desk, withError(form, 'countedOn', 'money.day-to-come'))
  }
  return write(
    desk,
    (pen) => recordCount(pen, { column, countedOn, countedMinor: counted, secondId }),
    (id) => `/money/names/count/${id}`,
  )
}

/** Officers read counts, and so does the person who counted too, who sees what differs before putting a name under it. */
async function countFor(desk: Desk<'id'>): Promise<CashCount> {
  const { id } = desk.params
  const count = (await listCounts(desk.db)).find((one) => one.id === id)
  if (!desk.may('closing.see') && count?.secondId !== desk.person.id) throw new PageError(403, 'error.page-403')
  return found(count)
}

async function confirmCount(desk: Desk<'id'>) {
  const count = found((await listCounts(desk.db)).find(({ id }) => id === desk.params.id))
  if (count.secondId !== desk.person.id) throw new PageError(403, 'cash.count.not-you')
  return write(
    desk,
    (pen) => approve(pen, count.id),
    () => `/money/names/count/${count.id}`,
  )
}

async function showCountForm(desk: Desk, filled: Filled) {
  const others = (await listPersons(desk.db)).filter((person) => person.id !== desk.person.id)
  return formPage(desk, {
    title: 'cash.count.title',
    form: countForm(moneyWords(desk).currency),
    filled,
    options: { secondId: others.map(({ id, number, name }) => ({ value: id, label: `${number} ${name}` })) },
    action: '/money/count',
    intro: ['cash.count.intro'],
    back: '/money/held',
  })
}
