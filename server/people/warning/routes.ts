import { addDays } from '../../../domain/calendar.ts'
import { countsOn, nextStep } from '../../../domain/people/ladder.ts'
import { approvals } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { complaintLines } from '../complaint/state.ts'
import { minuteOptions, minutesOfActs } from '../decision/state.ts'
import { listPersons } from '../person/store.ts'
import { AppealForm, RulingForm, WarningForm } from './forms.ts'
import { listWarnings, stepsTowards, type Warning, writeAppeal, writeRuling, writeWarning } from './store.ts'

/** A step lapses after a season, where nobody writes another day. Common practice, no source. */
const LAPSES_AFTER_DAYS = 180

/** The steps before a fine: each with a hearing, a day on which it lapses, and an appeal to another body. */
export function addWarningPages({ get, post }: Pages): void {
  get('/people/warnings', 'people.see', showAll)
  get('/people/warnings/new', 'decision.write', newWarning)
  post('/people/warnings/new', 'decision.write', postWarning)
  get('/people/names/warning/:id', 'people.see', showWarning)
  post('/people/names/warning/:id/appeal', 'people.see', appeal)
  post('/people/names/warning/:id/ruling', 'fine.approve', rule)
}

/** The committee and the auditor read all of them, everybody else their own. */
function mayRead(desk: Desk, { personId }: { personId: string }): boolean {
  return desk.may('hearing.see-all') || personId === desk.person.id
}

async function showAll(desk: Desk) {
  const { t, format, today } = desk
  const warnings = (await listWarnings(desk.db)).filter((one) => mayRead(desk, one))
  return page(desk, 'people/warning/list', {
    title: 'warning.list-title',
    complaints: await complaintLines(desk),
    lines: warnings.map((one) => ({
      at: format.shortDay(one.heardOn),
      words: `${one.personName}: ${t(`warning.step.${one.step}`)}`,
      small: one.rule,
      figure: stateOf(desk, one, today),
      href: `/people/names/warning/${one.id}`,
      isOwn: one.personId === desk.person.id,
    })),
  })
}

function stateOf({ t, format }: Desk, one: Warning, today: string): string {
  if (!one.stands) return t('warning.state.waits')
  if (one.ruling && !one.ruling.stands) return t('warning.state.lifted')
  if (one.appeal && !one.ruling) return t('warning.state.appealed')
  return countsOn(one, today)
    ? t('warning.state.counts', { date: format.date(one.lapseOn) })
    : t('warning.state.lapsed', { date: format.date(one.lapseOn) })
}

async function newWarning(desk: Desk) {
  const typed = {
    heardOn: desk.today,
    lapseOn: addDays(desk.today, LAPSES_AFTER_DAYS),
    step: 'word',
    body: 'committee',
  }
  return show(desk, emptyForm({ ...typed, personId: desk.query.person ?? '' }))
}

/** A first offence is offered a word: a warning is taken only where a word still counts. */
async function postWarning(desk: Desk) {
  const form = readForm(WarningForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { minute, ...warning } = form.data
  const { personId, step, heardOn, lapseOn } = warning
  if (!(await listPersons(desk.db)).some(({ id }) => id === personId)) {
    return show(desk, withError(form, 'personId', 'error.choose'))
  }
  if (heardOn > desk.today) return show(desk, withError(form, 'heardOn', 'warning.heard-first'))
  if (lapseOn <= heardOn) return show(desk, withError(form, 'lapseOn', 'warning.lapse-later'))
  if (step === 'warning' && nextStep(await stepsOf(desk, personId), heardOn) === 'word') {
    return show(desk, withError(form, 'step', 'warning.word-first'))
  }
  return write(
    desk,
    (pen) => writeWarning(pen, warning, minute),
    (id) => `/people/names/warning/${id}`,
  )
}

async function stepsOf({ db, parts }: Desk, personId: string) {
  return [...(await stepsTowards(db, personId)), ...(await parts.people.finesTowards(db, personId))]
}

async function warningFor(desk: Desk<'id'>): Promise<Warning> {
  const warning = found((await listWarnings(desk.db)).find(({ id }) => id === desk.params.id))
  if (!mayRead(desk, warning)) throw new PageError(403, 'error.page-403')
  return warning
}

async function showWarning(desk: Desk<'id'>) {
  return showWith(desk, await warningFor(desk), emptyForm())
}

/** By the person, or by an officer for whoever has no sign-in: once, while it counts. */
function mayAppeal(desk: Desk, warning: Warning): boolean {
  const isOpen = warning.appeal === null && countsOn(warning, desk.today)
  return isOpen && (warning.personId === desk.person.id || desk.may('decision.write'))
}

/** Not by whoever wrote it or put a name under it, and not in one's own matter. */
async function mayRule(desk: Desk, warning: Warning): Promise<boolean> {
  const named = (await approvals(desk.db)).get(warning.id)?.approverId
  const hasPart = [warning.writerId, warning.personId, named].includes(desk.person.id)
  return warning.appeal !== null && warning.ruling === null && !hasPart && desk.may('fine.approve')
}

async function appeal(desk: Desk<'id'>) {
  const warning = await warningFor(desk)
  if (warning.personId !== desk.person.id && !desk.may('decision.write')) throw new PageError(403, 'error.page-403')
  if (!mayAppeal(desk, warning)) throw new PageError(409, 'warning.appeal.not-now')
  const form = readForm(AppealForm, desk.body)
  if (!form.ok) return showWith(desk, warning, form)
  if (form.data.toBody === warning.body) {
    return showWith(desk, warning, withError(form, 'toBody', 'warning.appeal.other-body'))
  }
  return write(
    desk,
    (pen) => writeAppeal(pen, warning, form.data),
    () => `/people/names/warning/${warning.id}`,
  )
}

async function rule(desk: Desk<'id'>) {
  const warning = await warningFor(desk)
  if (!(await mayRule(desk, warning))) throw new PageError(409, 'warning.ruling.not-yours')
  const form = readForm(RulingForm, desk.body)
  if (!form.ok) return showWith(desk, warning, form)
  return write(
    desk,
    (pen) => writeRuling(pen, warning, { stands: form.data.way === 'stands', words: form.data.words }),
    () => `/people/names/warning/${warning.id}`,
  )
}

async function showWith(desk: Desk<'id'>, warning: Warning, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const rules = await mayRule(desk, warning)
  const step = rules ? 'ruling' : mayAppeal(desk, warning) ? 'appeal' : null
  return page(desk, 'people/warning/page', {
    title: `warning.heading-${warning.step}`,
    titleValues: { name: warning.personName },
    warning,
    state: stateOf(desk, warning, desk.today),
    next: nextStep(await stepsOf(desk, warning.personId), desk.today),
    minute: (await minutesOfActs(desk.db)).get(warning.id) ?? null,
    names: warning.step === 'warning' ? await namesShown(desk, warning.id) : null,
    step,
    form: rules ? RulingForm : AppealForm,
    filled,
    action: `/people/names/warning/${warning.id}/${step}`,
    submit: `warning.${step}.submit`,
  })
}

async function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'warning.title',
    form: WarningForm,
    filled,
    options: { personId: (await listPersons(desk.db)).map(numberedOption), minute: await minuteOptions(desk) },
    action: '/people/warnings/new',
    intro: ['warning.intro'],
    back: '/people/warnings',
  })
}
