import type { CalendarDate } from '../../../domain/calendar.ts'
import { tariffOn } from '../../../domain/fees/tariff/tariff.ts'
import { restingOn } from '../../book/minutes/store.ts'
import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { minuteOptions, minutesOfActs } from '../../people/decision/state.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { lastChargedDay } from '../ledger/charged-store.ts'
import { tariffForm } from './forms.ts'
import { listTariffs, setTariff, type WrittenTariff } from './store.ts'
import { tariffTyped, typedAgain } from './typed.ts'
import { comparedWith, tariffWords } from './words.ts'

/** The price of water: who set it, who put the second name under it, and from when it holds. */
export function addTariffPages({ get, post }: Pages): void {
  get('/money/price', 'tariff.see', showTariffs)
  get('/money/price/new', 'tariff.set', newTariff)
  post('/money/price/new', 'tariff.set', writeTariff)
  get('/money/names/price/:id', 'tariff.see', showOneTariff)
  post('/money/names/price/:id', 'tariff.approve', approveTariff)
}

async function showTariffs(desk: Desk) {
  const tariffs = await listTariffs(desk.db)
  const shown = tariffs.map((tariff) => tariffShown(desk, tariff, tariffs)).toReversed()
  return page(desk, 'fees/tariff/list', {
    title: 'fees.tariffs-title',
    tariffs: shown,
    noneInForce: !shown.some((tariff) => tariff.state === 'in-force'),
  })
}

async function newTariff(desk: Desk) {
  const held = inForceOn(await listTariffs(desk.db), desk.today)
  const typed = held ? typedAgain(held, moneyWords(desk).typed) : { drinkingFree: 'yes' }
  return showTariff(desk, emptyForm({ ...typed, fromOn: desk.today }))
}

async function writeTariff(desk: Desk) {
  const form = readForm(tariffForm(moneyWords(desk).currency), desk.body)
  if (!form.ok) return showTariff(desk, form)
  const charged = await lastChargedDay(desk.db)
  if (charged !== null && form.data.fromOn <= charged) {
    const date = desk.format.date(charged)
    return showTariff(desk, withError(form, 'fromOn', 'fees.tariff.already-charged', { date }))
  }
  const tariff = tariffTyped(form.data)
  if ('wrong' in tariff) return showTariff(desk, withError(form, tariff.wrong, tariff.key))
  return write(
    desk,
    (pen) => setTariff(pen, tariff, restingOn(form.data.minute)),
    (id) => `/money/names/price/${id}`,
  )
}

async function showOneTariff(desk: Desk<'id'>) {
  const tariffs = await listTariffs(desk.db)
  const tariff = found(tariffs.find((one) => one.id === desk.params.id))
  const shown = tariffShown(desk, tariff, tariffs)
  return page(desk, 'fees/tariff/page', {
    title: 'fees.tariff.heading',
    titleValues: { date: shown.from },
    tariff: shown,
    compared: comparedWith(desk, tariff, beforeIt(tariffs, tariff)),
    minute: (await minutesOfActs(desk.db)).get(tariff.id) ?? null,
    names: await namesShown(desk, tariff.id),
    hindrance: await tooLate(desk, tariff),
  })
}

async function approveTariff(desk: Desk<'id'>) {
  const tariff = found((await listTariffs(desk.db)).find((one) => one.id === desk.params.id))
  const why = await tooLate(desk, tariff)
  if (why) throw new PageError(409, why)
  return write(
    desk,
    (pen) => approve(pen, tariff.id),
    () => `/money/names/price/${tariff.id}`,
  )
}

/** Why nobody can put the second name under the tariff any more; null when nothing is in the way. */
async function tooLate(desk: Desk, tariff: WrittenTariff): Promise<string | null> {
  const charged = await lastChargedDay(desk.db)
  return charged !== null && tariff.fromOn <= charged ? 'fees.tariff.too-late' : null
}

function tariffShown(desk: Desk, tariff: WrittenTariff, all: readonly WrittenTariff[]) {
  const { format } = desk
  const { inRow, money } = moneyWords(desk)
  return {
    id: tariff.id,
    from: format.date(tariff.fromOn),
    price: money(tariff.perM3Minor),
    priceInRow: inRow(tariff.perM3Minor),
    drinkingFree: tariff.drinkingFree,
    parts: tariffWords(desk, tariff),
    writerName: tariff.writerName,
    writtenAt: format.instant(tariff.writtenAt),
    approverName: tariff.approval?.approverName ?? null,
    approvedAt: tariff.approval ? format.instant(tariff.approval.approvedAt) : null,
    state: stateOf(tariff, all, desk.today),
  }
}

function stateOf(tariff: WrittenTariff, all: readonly WrittenTariff[], today: string) {
  if (tariff.withheld) return 'withheld'
  if (!tariff.approval) return 'waits'
  if (tariff.fromOn > today) return 'to-come'
  return inForceOn(all, today)?.id === tariff.id ? 'in-force' : 'past'
}

/** The agreed tariff that holds on a day. */
function inForceOn(all: readonly WrittenTariff[], on: CalendarDate): WrittenTariff | null {
  const agreed = all.filter((one) => one.approval)
  const held = tariffOn({ tariffs: agreed.flatMap((one) => one.tariffs), on, payerClass: null })
  return agreed.find(({ id }) => id === held?.id) ?? null
}

/** What holds on the first day of a tariff without it, of all that was written before it. */
function beforeIt(all: readonly WrittenTariff[], tariff: WrittenTariff): WrittenTariff | null {
  return inForceOn(all.slice(0, all.indexOf(tariff)), tariff.fromOn)
}

async function showTariff(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'fees.tariff.title',
    form: tariffForm(moneyWords(desk).currency),
    filled,
    options: { minute: await minuteOptions(desk) },
    action: '/money/price/new',
    intro: ['fees.tariff.intro'],
    back: '/money/price',
  })
}
