import { addDays } from '../../../domain/calendar.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { signed } from '../signed.ts'
import { AppealForm, HearingForm } from './forms.ts'
import { type Hearing, lastHearings, stepOn, turnHeard, writeAppeal, writeHearing } from './store.ts'

/** Days to appeal, where nobody writes another day. Common practice, no source. */
const DAYS_TO_APPEAL = 14

/** A turn left without word: a hearing, a second name and the days of appeal come before the money. */
export function addMissedTurnPages({ get, post }: Pages): void {
  get('/money/fine?as=missed-turn', 'payment.record', newHearing)
  post('/money/fine?as=missed-turn', 'payment.record', askForName)
  get('/money/names/missed-turn/:id', 'money.see-own', showHearing)
  post('/money/names/missed-turn/:id/appeal', 'money.see-own', appeal)
}

async function newHearing(desk: Desk) {
  const typed = { heardOn: desk.today, appealUntil: addDays(desk.today, DAYS_TO_APPEAL) }
  return showForm(desk, await turnOr404(desk, desk.query.turn), emptyForm(typed))
}

async function askForName(desk: Desk) {
  const { today } = desk
  const turn = await turnOr404(desk, desk.query.turn)
  const step = stepOn((await lastHearings(desk.db)).get(turn.turnId), today)
  if (step !== 'not-heard' && step !== 'appealed') throw new PageError(409, `missed-turn.missed.step-${step}`)
  const form = readForm(HearingForm, desk.body)
  if (!form.ok) return showForm(desk, turn, form)
  const { heardOn, appealUntil } = form.data
  if (heardOn > today || heardOn < turn.on)
    return showForm(desk, turn, withError(form, 'heardOn', 'missed-turn.missed.heard-after'))
  if (appealUntil < heardOn)
    return showForm(desk, turn, withError(form, 'appealUntil', 'missed-turn.missed.appeal-later'))
  return write(
    desk,
    (pen) => writeHearing(pen, { ...form.data, turnId: turn.turnId }),
    (id) => `/money/names/missed-turn/${id}`,
  )
}

async function turnOr404({ db }: Desk, id: string | undefined) {
  return found(id ? await turnHeard(db, id) : undefined)
}

async function showHearing(desk: Desk<'id'>) {
  return show(desk, await hearingFor(desk), emptyForm())
}

async function appeal(desk: Desk<'id'>) {
  const hearing = await hearingFor(desk)
  if (!hearing.mayAppeal) throw new PageError(403, 'error.page-403')
  if (stepOn(hearing, desk.today) !== 'may-appeal') throw new PageError(409, 'missed-turn.appeal.not-now')
  const form = readForm(AppealForm, desk.body)
  if (!form.ok) return show(desk, hearing, form)
  return write(
    desk,
    (pen) => writeAppeal(pen, { hearingId: hearing.id, words: form.data.words }),
    () => `/money/names/missed-turn/${hearing.id}`,
  )
}

interface HearingShown extends Hearing {
  on: string
  plotNumber: number | string
  /** By whoever holds the plot, or by the treasurer for them. */
  mayAppeal: boolean
}

/** Whoever holds the plot, who keeps the money and who may put the second name; nobody else gets as far as a 404. */
async function hearingFor(desk: Desk<'id'>): Promise<HearingShown> {
  const { db, params, person } = desk
  const hearing = [...(await lastHearings(db)).values()].find(({ id }) => id === params.id)
  const turn = hearing && (await turnHeard(db, hearing.turnId))
  const isOwn = turn?.plot?.holders.some(({ id }) => id === person.id) ?? false
  if (!isOwn && !desk.may('money.see-all') && !desk.may('fine.approve')) throw new PageError(403, 'fees.page-403')
  return {
    ...found(hearing),
    on: found(turn).on,
    plotNumber: turn?.plot?.number ?? '',
    mayAppeal: isOwn || desk.may('payment.record'),
  }
}

async function show(desk: Desk<'id'>, hearing: Awaited<ReturnType<typeof hearingFor>>, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const { format } = desk
  const step = stepOn(hearing, desk.today)
  return page(desk, 'fees/missed-turn/page', {
    title: 'missed-turn.missed.heading',
    titleValues: { plot: hearing.plotNumber, date: format.date(hearing.on) },
    hearing: {
      ...hearing,
      heard: desk.t('fines.fine.heard-line', { date: format.date(hearing.heardOn), words: hearing.hearing }),
      appealUntil: format.date(hearing.appealUntil),
      writer: signed(desk, hearing.writerName, hearing.writtenAt),
    },
    step,
    names: await namesShown(desk, hearing.id),
    form: AppealForm,
    filled,
    action: `/money/names/missed-turn/${hearing.id}/appeal`,
    submit: 'missed-turn.appeal.submit',
  })
}

function showForm(desk: Desk, turn: Awaited<ReturnType<typeof turnOr404>>, filled: Filled) {
  return formPage(desk, {
    title: 'missed-turn.missed.title',
    titleValues: { plot: turn.plot?.number ?? '', date: desk.format.date(turn.on) },
    form: HearingForm,
    filled,
    action: `/money/fine?as=missed-turn&turn=${encodeURIComponent(turn.turnId)}`,
    intro: ['missed-turn.missed.intro'],
    back: '/money/charges',
  })
}
