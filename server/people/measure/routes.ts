import { LITRES_PER_JERRYCAN } from '../../../domain/units.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage, type Option } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { CountedInForm, MeasureForm, MeasureWithdrawalForm } from './forms.ts'
import { vesselOptions } from './state.ts'
import { addMeasure, countedInOn, countIn, measuresOn, vesselsOn, withdrawMeasure } from './store.ts'

/** What the group counts in, and in what each person wants to be told water beside m3. */
export function addMeasurePages({ get, post }: Pages): void {
  get('/people/measures', 'people.see', showMeasures)
  get('/people/settle/measure', 'group.set', newMeasure)
  post('/people/settle/measure', 'group.set', writeMeasure)
  get('/people/settle/measure/:id', 'group.set', showWithdrawal)
  post('/people/settle/measure/:id', 'group.set', writeWithdrawal)
  get('/people/settle/count-in', 'water.request', newOwn)
  post('/people/settle/count-in', 'water.request', writeOwn)
}

async function showMeasures(desk: Desk) {
  const measures = await measuresOn(desk.db, desk.today)
  return page(desk, 'people/measure/page', {
    title: 'measure.list-title',
    measures,
    usualCan: measures.some(({ kind }) => kind === 'can') ? null : LITRES_PER_JERRYCAN,
  })
}

async function newOwn(desk: Desk) {
  return showOwn(desk, emptyForm({ measure: await countedInOn(desk.db, desk.person.id, desk.today) }))
}

async function showOwn(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'measure.counted.title',
    form: CountedInForm,
    filled,
    options: { measure: await ownChoices(desk) },
    action: '/people/settle/count-in',
    submit: 'measure.counted.send',
    intro: ['measure.counted.intro'],
    back: '/people/measures',
  })
}

/** Cans, hours at the outlet, and whatever the group has named for water. */
async function ownChoices({ db, today, t, format }: Desk): Promise<Option[]> {
  return [
    { value: 'can', label: t('measure.counted.can') },
    { value: 'hours', label: t('measure.counted.hours') },
    ...vesselOptions({ t, format }, await vesselsOn(db, today)),
  ]
}

async function writeOwn(desk: Desk) {
  const form = readForm(CountedInForm, desk.body)
  if (!form.ok) return showOwn(desk, form)
  const { measure } = form.data
  if (!(await ownChoices(desk)).some(({ value }) => value === measure))
    return showOwn(desk, withError(form, 'measure', 'error.choose'))
  return write(
    desk,
    (pen) => countIn(pen, { personId: desk.person.id, fromOn: desk.today, measure }),
    () => '/people/measures',
  )
}

async function newMeasure(desk: Desk) {
  return show(desk, emptyForm({ kind: 'drum', fromOn: desk.today }))
}

async function writeMeasure(desk: Desk) {
  const form = readForm(MeasureForm, desk.body)
  if (!form.ok) return show(desk, form)
  if (form.data.fromOn < desk.today) return show(desk, withError(form, 'fromOn', 'measure.past'))
  return write(
    desk,
    (pen) => addMeasure(pen, form.data),
    () => '/people/measures',
  )
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'measure.new.title',
    form: MeasureForm,
    filled,
    action: '/people/settle/measure',
    intro: ['measure.new.intro'],
    back: '/people/measures',
  })
}

async function writeWithdrawal(desk: Desk<'id'>) {
  const form = readForm(MeasureWithdrawalForm, desk.body)
  if (!form.ok) return showWithdrawal(desk, form)
  return write(
    desk,
    (pen) => withdrawMeasure(pen, desk.params.id, form.data.reason),
    () => '/people/measures',
  )
}

async function showWithdrawal(desk: Desk<'id'>, filled: Filled = emptyForm()) {
  const measure = found((await measuresOn(desk.db, desk.today)).find(({ id }) => id === desk.params.id))
  return formPage(desk, {
    title: 'measure.withdrawal.title',
    titleValues: { name: measure.name },
    form: MeasureWithdrawalForm,
    filled,
    action: `/people/settle/measure/${measure.id}`,
    back: '/people/measures',
  })
}
