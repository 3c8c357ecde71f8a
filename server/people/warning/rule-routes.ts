import { USUAL_LAPSE_DAYS } from '../../../domain/people/ladder.ts'
import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { minuteOptions, minutesOfActs } from '../decision/state.ts'
import { conductForm } from './forms.ts'
import { ruleInWords } from './ladder-state.ts'
import { rulesOn, waitingRules, writeRule } from './rule-store.ts'

/** What conduct leads to, as the meeting decided it: a dated rule that names its minute and a second officer. */
export function addConductPages({ get, post }: Pages): void {
  get('/people/settle/conduct', 'decision.write', newRule)
  post('/people/settle/conduct', 'decision.write', postRule)
}

/** A rule that is opened by its number is shown as it holds. */
async function newRule(desk: Desk) {
  const rule = (await rulesOn(desk.db, desk.today)).find(({ number }) => number === desk.query.number)
  const { typed } = moneyWords(desk)
  return show(
    desk,
    emptyForm({
      number: rule?.number ?? '',
      conduct: rule?.conduct ?? '',
      wordsBefore: String(rule?.wordsBefore ?? 1),
      warningsBefore: String(rule?.warningsBefore ?? 1),
      lapseDays: String(rule?.lapseDays ?? USUAL_LAPSE_DAYS),
      amount: rule?.fineMinor ? typed(rule.fineMinor) : '',
      percent: rule?.finePercent ? String(rule.finePercent) : '',
      fromOn: desk.today,
    }),
  )
}

async function postRule(desk: Desk) {
  const form = readForm(conductForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return show(desk, form)
  const { amount, percent, minute, ...rule } = form.data
  if (rule.fromOn < desk.today) return show(desk, withError(form, 'fromOn', 'conduct.past'))
  if (amount !== null && percent !== null) return show(desk, withError(form, 'percent', 'conduct.one-fine'))
  if (amount === null && percent === null && rule.wordsBefore + rule.warningsBefore === 0)
    return show(desk, withError(form, 'wordsBefore', 'conduct.no-step'))
  return write(
    desk,
    (pen) => writeRule(pen, { ...rule, fineMinor: amount, finePercent: percent }, minute),
    () => '/people/warnings',
  )
}

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'conduct.title',
    form: conductForm(moneyWords(desk).currency),
    filled,
    options: { minute: await minuteOptions(desk) },
    action: '/people/settle/conduct',
    intro: ['conduct.intro'],
    back: '/people/warnings',
  })
}

/** The rules that hold today and those that wait for a name, each with its minute, for the page of the ladder. */
export async function rulesShown(desk: Desk) {
  const minutes = await minutesOfActs(desk.db)
  const holding = await rulesOn(desk.db, desk.today)
  const waiting = await waitingRules(desk.db)
  return Promise.all(
    [...holding, ...waiting].map(async (rule) => ({
      number: rule.number,
      words: ruleInWords(desk, rule),
      from: desk.t(rule.ends ? 'conduct.ends-on' : 'conduct.from-on', { date: desk.format.date(rule.fromOn) }),
      minute: minutes.get(rule.id) ?? null,
      names: waiting.includes(rule) ? await namesShown(desk, rule.id) : null,
    })),
  )
}
