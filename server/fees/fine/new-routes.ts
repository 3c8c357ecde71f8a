import { fineOf } from '../../../domain/people/ladder.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions } from '../../people/decision/state.ts'
import { choicePage, chosenConduct, namedInWords, namedTowards } from '../../people/warning/ladder-state.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { payerOptions } from '../payer/options.ts'
import { listPayers } from '../payer/store.ts'
import { fineForm } from './forms.ts'
import { lastTurnMinor, writeFine } from './store.ts'

/** A fine: where conduct has written rules, person and conduct are chosen first; sum and lapse are the rule's. */
export function addNewFinePages({ get, post }: Pages): void {
  get('/money/fine', 'payment.record', newFine)
  post('/money/fine', 'payment.record', askForFine)
}

async function newFine(desk: Desk) {
  const { query, today } = desk
  const conduct = await chosenConduct(desk)
  if (conduct === undefined) {
    const persons = await payerOptions(desk.db)
    return choicePage(desk, { title: 'fines.fine.title', action: '/money/fine', back: '/money/lines/fine', persons })
  }
  const personId = query.person ?? ''
  const named = found(await namedTowards(desk, { personId, conduct, on: today }))
  const rule = named.rule ? `${named.rule.number} ${named.rule.conduct}` : ''
  return show(desk, emptyForm({ personId, heardOn: today, rule }), { conduct, notes: namedInWords(desk, named) })
}

/** A fine before its turn, or another sum or day than the rule names, wants a reason. */
async function askForFine(desk: Desk) {
  const conduct = (await chosenConduct(desk)) ?? null
  const form = readForm(fineForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return show(desk, form, { conduct })
  const { amount, minute, reason, lapseOn: typedLapse, ...fine } = form.data
  const { personId, heardOn } = fine
  let notes: string[] = []
  const again = (field: string, key: string, values = {}) =>
    show(desk, withError(form, field, key, values), { conduct, notes })
  if (!(await listPayers(desk.db)).has(personId)) return again('personId', 'error.choose')
  if (heardOn > desk.today) return again('heardOn', 'fines.fine.heard-first')
  const named = await namedTowards(desk, { personId, conduct, on: heardOn })
  if (!named) return again('heardOn', 'conduct.not-then')
  notes = namedInWords(desk, named)
  const ruled = named.rule && fineOf(named.rule, await lastTurnMinor(desk.db, personId, heardOn))
  const amountMinor = amount ?? ruled
  if (amountMinor === null) return again('amount', named.rule?.finePercent ? 'conduct.no-turn-yet' : 'error.missing')
  const lapseOn = typedLapse ?? named.lapseOn
  if (lapseOn === null) return again('lapseOn', 'error.missing')
  if (lapseOn <= heardOn) return again('lapseOn', 'fines.fine.lapse-later')
  const off = reason === null && offTheRule(desk, named, { amountMinor, ruled, lapseOn })
  if (off) return again('reason', off.key, off.values)
  return write(
    desk,
    (pen) => writeFine(pen, { ...fine, amountMinor, lapseOn }, { rule: named.rule, named: named.step, reason, minute }),
    (id) => `/money/names/fine/${id}`,
  )
}

type Named = NonNullable<Awaited<ReturnType<typeof namedTowards>>>

/** How a fine is another than the rule names, in words; null where it is that. */
function offTheRule(
  desk: Desk,
  { rule, step, lapseOn: ruledLapse }: Named,
  { amountMinor, ruled, lapseOn }: { amountMinor: number; ruled: number | null; lapseOn: string },
) {
  if (step !== 'fine')
    return rule
      ? { key: 'conduct.off-step', values: { named: desk.t(`warning.step.${step}`) } }
      : { key: `fines.fine.${step}-first`, values: {} }
  if (ruled !== null && amountMinor !== ruled)
    return { key: 'conduct.off-amount', values: { amount: moneyWords(desk).money(ruled) } }
  if (ruledLapse !== null && lapseOn !== ruledLapse)
    return { key: 'conduct.off-lapse', values: { date: desk.format.date(ruledLapse) } }
  return null
}

async function show(desk: Desk, filled: Filled, { conduct, notes }: { conduct: string | null; notes?: string[] }) {
  const asked = conduct === null ? '?conduct=' : `?conduct=${encodeURIComponent(conduct)}`
  return formPage(desk, {
    title: 'fines.fine.title',
    form: fineForm(moneyWords(desk).currency),
    filled,
    options: { personId: await payerOptions(desk.db), minute: await minuteOptions(desk) },
    action: `/money/fine${asked}`,
    intro: ['fines.fine.intro'],
    notes,
    back: '/money/lines/fine',
  })
}
