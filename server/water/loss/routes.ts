import { addDays } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { write } from '../../book/pen.ts'
import { dayDemand } from '../../crops/weather/day-demand.ts'
import { weatherDays } from '../../crops/weather/store.ts'
import { date, number, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { sandBook } from '../calibration/book.ts'
import { bodyOf } from '../sand/description.ts'
import { setSandLoss } from '../sand/loss-store.ts'
import { waterStates } from '../storage/state.ts'
import type { Weir } from '../weir/store.ts'
import { type BookRest, lossFound, OPEN_WATER_OVER_REFERENCE, restsOf } from './pages.ts'

const LossForm = defineForm('sand.lossForm', {
  lossCmPerDay: number({ min: -5, max: 20 }),
  fromOn: date(),
  words: text({ max: 300 }),
})

/** What the sand loses by itself on rest days, and what the group settles on. */
export function addLossPages({ get, post }: Pages): void {
  get('/weirs/:id/loss', 'water.see', showLoss)
  get('/weirs/:id/losses/new', 'water.describe', newLoss)
  post('/weirs/:id/losses', 'water.describe', writeLoss)
}

async function showLoss(desk: Desk<'id'>) {
  const { weir, survey, book, rests, loss } = await reckoned(desk)
  return page(desk, 'water/loss/page', {
    title: 'sand.loss.title',
    titleValues: { number: weir.number },
    weir,
    survey,
    book,
    rests,
    loss,
    openWaterFactor: OPEN_WATER_OVER_REFERENCE,
  })
}

async function newLoss(desk: Desk<'id'>) {
  const { weir, loss } = await reckoned(desk)
  const typed = {
    fromOn: desk.today,
    lossCmPerDay: loss ? String(Number(loss.fall.fallCmPerDay.toFixed(2))) : '',
  }
  return showLossForm(desk, weir, emptyForm(typed))
}

async function writeLoss(desk: Desk<'id'>) {
  const { weir, survey } = await described(desk)
  const form = readForm(LossForm, desk.body)
  if (!form.ok) return showLossForm(desk, weir, form)
  const { fromOn, lossCmPerDay, words } = form.data
  if (fromOn > desk.today) return showLossForm(desk, weir, withError(form, 'fromOn', 'water.weir.future'))
  if (fromOn < survey.surveyedOn) {
    const values = { date: desk.format.date(survey.surveyedOn) }
    return showLossForm(desk, weir, withError(form, 'fromOn', 'sand.error.loss-before-survey', values))
  }
  return write(
    desk,
    (pen) => setSandLoss(pen, { weirId: weir.id, fromOn, lossCmPerDay, words }),
    () => `/water/weirs/${weir.id}`,
  )
}

async function described(desk: Desk<'id'>) {
  const { id } = desk.params
  const state = found((await waterStates(desk.db, { on: desk.today })).find((one) => one.weir.id === id))
  return { weir: state.weir, survey: found(state.survey ?? undefined) }
}

async function reckoned(desk: Desk<'id'>) {
  const { weir, survey } = await described(desk)
  const on = desk.today
  const { group } = desk
  const book = await sandBook(desk.db, { group, survey, on, fourWeeksAgo: addDays(on, -28) })
  const body = bodyOf(survey)
  const rests = restsOf(book.stretches, body)
  return { weir, survey, book, rests, loss: lossFound(rests, { body, referenceMm: await referenceMm(desk, rests) }) }
}

/** Mean reference evapotranspiration of the days of rest whose weather is written; null with none. */
async function referenceMm({ db, group }: Desk, rests: readonly BookRest[]): Promise<number | null> {
  const days = await Promise.all(rests.map(({ fromOn, toOn }) => weatherDays(db, { fromOn, toOn: addDays(toOn, -1) })))
  const known = days.flat().flatMap((day) => dayDemand(group, day)?.etoMm ?? [])
  return known.length === 0 ? null : sum(known) / known.length
}

function showLossForm(desk: Desk, weir: Weir, filled: Filled) {
  return formPage(desk, {
    title: 'sand.lossForm.title',
    titleValues: { number: weir.number },
    form: LossForm,
    filled,
    action: `/water/weirs/${weir.id}/losses`,
    intro: ['sand.lossForm.intro'],
    back: `/water/weirs/${weir.id}/loss`,
  })
}
