import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { ShortDayRuleForm } from './forms.ts'
import { setShortDayRule, shortDayRuleOn } from './rule-store.ts'

/** How the rest of a day that gives less is shared: the group's own choice, from a day on. */
export function addShortDayRulePages({ get, post }: Pages): void {
  get('/turns/settle/short-day', 'rule.set', newRule)
  post('/turns/settle/short-day', 'rule.set', writeRule)
}

async function newRule(desk: Desk) {
  const rule = await shortDayRuleOn(desk.db, desk.today)
  return show(desk, emptyForm({ fromOn: desk.today, rule }))
}

async function writeRule(desk: Desk) {
  const form = readForm(ShortDayRuleForm, desk.body)
  if (!form.ok) return show(desk, form)
  if (form.data.fromOn < desk.today) return show(desk, withError(form, 'fromOn', 'day.short-rule.past'))
  return write(
    desk,
    (pen) => setShortDayRule(pen, form.data),
    () => '/log',
  )
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'day.short-rule.title',
    intro: ['day.short-rule.intro'],
    form: ShortDayRuleForm,
    filled,
    action: '/turns/settle/short-day',
    back: '/log',
  })
}
