import { addDays } from '../../../domain/calendar.ts'
import { USUAL_LAPSE_DAYS } from '../../../domain/people/ladder.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { minuteOptions } from '../decision/state.ts'
import { listPersons } from '../person/store.ts'
import { WarningForm } from './forms.ts'
import { choicePage, chosenConduct, namedInWords, namedTowards } from './ladder-state.ts'
import { writeWarning } from './store.ts'

/** A word or a warning: where conduct has written rules, person and conduct are chosen first, so that the form says what they name. */
export function addNewWarningPages({ get, post }: Pages): void {
  get('/people/warnings/new', 'decision.write', newWarning)
  post('/people/warnings/new', 'decision.write', postWarning)
}

async function newWarning(desk: Desk) {
  const { query, today } = desk
  const conduct = await chosenConduct(desk)
  if (conduct === undefined) {
    const persons = (await listPersons(desk.db)).map(numberedOption)
    return choicePage(desk, {
      title: 'warning.title',
      action: '/people/warnings/new',
      back: '/people/warnings',
      persons,
    })
  }
  const personId = query.person ?? ''
  const named = found(await namedTowards(desk, { personId, conduct, on: today }))
  const { rule } = named
  const typed = {
    personId,
    heardOn: today,
    step: rule && named.step === 'warning' ? 'warning' : 'word',
    body: 'committee',
    rule: rule ? `${rule.number} ${rule.conduct}` : '',
    lapseOn: rule ? '' : addDays(today, USUAL_LAPSE_DAYS),
  }
  return show(desk, emptyForm(typed), conduct, namedInWords(desk, named))
}

/** Another step or day than the rule names wants a reason; so does a warning before any word, where conduct has no rule. */
async function postWarning(desk: Desk) {
  const { t, today } = desk
  const conduct = (await chosenConduct(desk)) ?? null
  const form = readForm(WarningForm, desk.body)
  if (!form.ok) return show(desk, form, conduct)
  const { minute, reason, lapseOn: typedLapse, ...warning } = form.data
  const { personId, step, heardOn } = warning
  let notes: string[] = []
  const again = (field: string, key: string, values = {}) =>
    show(desk, withError(form, field, key, values), conduct, notes)
  if (!(await listPersons(desk.db)).some(({ id }) => id === personId)) return again('personId', 'error.choose')
  if (heardOn > today) return again('heardOn', 'warning.heard-first')
  const named = await namedTowards(desk, { personId, conduct, on: heardOn })
  if (!named) return again('heardOn', 'conduct.not-then')
  notes = namedInWords(desk, named)
  const lapseOn = typedLapse ?? named.lapseOn
  if (lapseOn === null) return again('lapseOn', 'error.missing')
  if (lapseOn <= heardOn) return again('lapseOn', 'warning.lapse-later')
  if (reason === null) {
    if (named.rule && step !== named.step)
      return again('reason', 'conduct.off-step', { named: t(`warning.step.${named.step}`) })
    if (!named.rule && step === 'warning' && named.step === 'word') return again('step', 'warning.word-first')
    if (named.lapseOn && lapseOn !== named.lapseOn)
      return again('reason', 'conduct.off-lapse', { date: desk.format.date(named.lapseOn) })
  }
  return write(
    desk,
    (pen) => writeWarning(pen, { ...warning, lapseOn }, { rule: named.rule, named: named.step, reason, minute }),
    (id) => `/people/names/warning/${id}`,
  )
}

async function show(desk: Desk, filled: Filled, conduct: string | null, notes: string[] = []) {
  const asked = conduct === null ? '?conduct=' : `?conduct=${encodeURIComponent(conduct)}`
  return formPage(desk, {
    title: 'warning.title',
    form: WarningForm,
    filled,
    options: { personId: (await listPersons(desk.db)).map(numberedOption), minute: await minuteOptions(desk) },
    action: `/people/warnings/new${asked}`,
    intro: ['warning.intro'],
    notes,
    back: '/people/warnings',
  })
}
