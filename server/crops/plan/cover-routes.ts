import { write } from '../../book/pen.ts'
import { date, number } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { setPlanCover } from './cover-store.ts'
import { cropPlans, type PlannedCrop } from './store.ts'

const CoverForm = defineForm('crops.cover', {
  percent: number({ min: 1, max: 100 }),
  height: number({ min: 0.1, max: 20 }, 'height of a crop, m'),
  onDate: date(),
})

/** How much of their ground young trees shade, since small ones drink less than the printed values. */
export function addCoverPages({ get, post }: Pages): void {
  get('/crops/settle/cover/:id', 'crops.declare', newCover)
  post('/crops/settle/cover/:id', 'crops.declare', writeCover)
}

async function newCover(desk: Desk<'id'>) {
  const plan = await perennialOr404(desk)
  const { coverFraction, heightM } = plan.cover ?? {}
  const percent = coverFraction === undefined ? '' : String(Math.round(100 * coverFraction))
  return show(desk, plan, emptyForm({ percent, height: String(heightM ?? ''), onDate: desk.today }))
}

async function writeCover(desk: Desk<'id'>) {
  const plan = await perennialOr404(desk)
  const form = readForm(CoverForm, desk.body)
  if (!form.ok) return show(desk, plan, form)
  const { percent, height: heightM, onDate } = form.data
  if (onDate > desk.today) return show(desk, plan, withError(form, 'onDate', 'crops.wrong.day-to-come'))
  return write(
    desk,
    (pen) => setPlanCover(pen, { planId: plan.id, onDate, coverFraction: percent / 100, heightM }),
    () => `/crops/lines/crop/${plan.id}`,
  )
}

async function perennialOr404({ db, params }: Desk<'id'>): Promise<PlannedCrop> {
  return found((await cropPlans(db)).find((plan) => plan.id === params.id && plan.crop?.perennial))
}

function show(desk: Desk, { id }: PlannedCrop, filled: Filled) {
  return formPage(desk, {
    title: 'crops.cover.title',
    intro: ['crops.cover.intro'],
    form: CoverForm,
    filled,
    action: `/crops/settle/cover/${id}`,
    back: `/crops/lines/crop/${id}`,
  })
}
