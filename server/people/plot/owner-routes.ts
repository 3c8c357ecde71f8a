import { write } from '../../book/pen.ts'
import { date, optional, select } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { minuteField, minuteOptions } from '../decision/state.ts'
import { listPersons } from '../person/store.ts'
import { plotOr404 } from './asked.ts'
import { ownerOn, setArrearsRule, setOwner } from './owner-store.ts'
import type { Plot } from './store.ts'

const OwnerForm = defineForm('tenure.owner', { ownerId: optional(select()), fromOn: date() })

const ArrearsRuleForm = defineForm('tenure.arrears', {
  follows: select(['person', 'plot']),
  fromOn: date(),
  minute: optional(minuteField()),
})

/** Plots that are let: the tenant holds, books and pays; who answers for what stays unpaid is a written rule. */
export function addOwnerPages({ get, post }: Pages): void {
  get('/people/plots/:id/change?as=owner', 'works.describe', newOwner)
  post('/people/plots/:id/change?as=owner', 'works.describe', postOwner)
  get('/people/settle/arrears-rule', 'decision.write', newRule)
  post('/people/settle/arrears-rule', 'decision.write', postRule)
}

async function newOwner(desk: Desk<'id'>) {
  const plot = await plotOr404(desk)
  const owner = await ownerOn(desk.db, plot.id, desk.today)
  return showOwner(desk, plot, emptyForm({ ownerId: owner?.id ?? '', fromOn: desk.today }))
}

async function postOwner(desk: Desk<'id'>) {
  const plot = await plotOr404(desk)
  const form = readForm(OwnerForm, desk.body)
  if (!form.ok) return showOwner(desk, plot, form)
  const { ownerId, fromOn } = form.data
  if (ownerId !== null && !(await listPersons(desk.db)).some(({ id }) => id === ownerId)) {
    return showOwner(desk, plot, withError(form, 'ownerId', 'error.choose'))
  }
  return write(
    desk,
    (pen) => setOwner(pen, { plotId: plot.id, ownerId, fromOn }),
    () => `/people/plots/${plot.id}`,
  )
}

async function showOwner(desk: Desk, plot: Plot, filled: Filled) {
  return formPage(desk, {
    title: 'tenure.owner.title',
    titleValues: { number: plot.number },
    form: OwnerForm,
    filled,
    options: { ownerId: (await listPersons(desk.db)).map(numberedOption) },
    action: `/people/plots/${plot.id}/change?as=owner`,
    intro: ['tenure.owner.intro'],
    back: `/people/plots/${plot.id}`,
  })
}

async function newRule(desk: Desk) {
  return showRule(desk, emptyForm({ fromOn: desk.today }))
}

async function postRule(desk: Desk) {
  const form = readForm(ArrearsRuleForm, desk.body)
  if (!form.ok) return showRule(desk, form)
  const { minute, ...rule } = form.data
  if (rule.fromOn < desk.today) return showRule(desk, withError(form, 'fromOn', 'tenure.arrears.past'))
  return write(
    desk,
    (pen) => setArrearsRule(pen, rule, minute),
    () => '/people/decisions',
  )
}

async function showRule(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'tenure.arrears.title',
    form: ArrearsRuleForm,
    filled,
    options: { minute: await minuteOptions(desk) },
    action: '/people/settle/arrears-rule',
    intro: ['tenure.arrears.intro'],
    back: '/people/decisions',
  })
}
