import { countsOn, nextStep } from '../../../domain/people/ladder.ts'
import { approvals } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { complaintLines } from '../complaint/state.ts'
import { minutesOfActs } from '../decision/state.ts'
import { AppealForm, RulingForm } from './forms.ts'
import { groundInWords, namedTowards, stepsAbout } from './ladder-state.ts'
import { addNewWarningPages } from './new-routes.ts'
import { addConductPages, rulesShown } from './rule-routes.ts'
import { listWarnings, type Warning, writeAppeal, writeRuling } from './store.ts'

/** The steps before a fine: each with a hearing, a day on which it lapses, and an appeal to another body. */
export function addWarningPages(pages: Pages): void {
  const { get, post } = pages
  addConductPages(pages)
  addNewWarningPages(pages)
  get('/people/warnings', 'people.see', showAll)
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
    rules: await rulesShown(desk),
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

/** By the rule as it holds today; by the ladder without a rule where that conduct has none any more. */
async function nextAfter(desk: Desk, { personId, conduct }: Warning) {
  const named = await namedTowards(desk, { personId, conduct, on: desk.today })
  return named?.step ?? nextStep(await stepsAbout(desk, personId, conduct), desk.today)
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
    grounds: groundInWords(desk, warning.step, warning.ground),
    next: await nextAfter(desk, warning),
    minute: (await minutesOfActs(desk.db)).get(warning.id) ?? null,
    names: warning.step === 'warning' ? await namesShown(desk, warning.id) : null,
    step,
    form: rules ? RulingForm : AppealForm,
    filled,
    action: `/people/names/warning/${warning.id}/${step}`,
    submit: `warning.${step}.submit`,
  })
}
