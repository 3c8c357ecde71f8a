import { addDays } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { type ComparedDay, localHargreavesFactor } from '../../../domain/water/weather/local-factor.ts'
import { write } from '../../book/pen.ts'
import { weatherDays } from '../../water/weather/store.ts'
import { date, number, optional } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { cropSettings, setDemandRule } from '../setting/store.ts'
import { comparedDay, placeOf } from '../weather/day-demand.ts'

const DemandForm = defineForm('demand.demand', {
  dryAir: number({ min: 0, max: 5 }),
  factor: optional(number({ min: 0.5, max: 1.6 })),
  fromOn: date(),
})

/** How the demand of the air is reckoned where little was read: the dew point of dry air, and the local factor with its working. */
export function addDemandPages({ get, post }: Pages): void {
  get('/crops/settle/demand', 'crops.declare', newDemand)
  post('/crops/settle/demand', 'crops.declare', writeDemand)
  get('/crops/working/demand', 'crops.see', showFactor)
}

async function newDemand(desk: Desk) {
  const rule = (await cropSettings(desk.db, desk.today)).demandRule
  const fitted = localHargreavesFactor(await comparedDays(desk))
  const factor = rule?.hargreavesFactor ?? fitted
  const values = { dryAir: String(rule?.dryAirC ?? 0), fromOn: desk.today }
  return show(desk, emptyForm({ ...values, factor: factor === null ? '' : factor.toFixed(2) }))
}

async function writeDemand(desk: Desk) {
  const form = readForm(DemandForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { dryAir: dryAirC, factor: hargreavesFactor, fromOn } = form.data
  return write(
    desk,
    (pen) => setDemandRule(pen, { fromOn, dryAirC, hargreavesFactor }),
    () => '/crops/figures',
  )
}

async function showFactor(desk: Desk) {
  const { t, format } = desk
  const days = await comparedDays(desk)
  const factor = localHargreavesFactor(days)
  const sums = {
    days: days.length,
    better: format.one(sum(days, (day) => day.betterMm)),
    temperatures: format.one(sum(days, (day) => day.hargreavesMm)),
  }
  return workingPage(desk, {
    title: 'demand.factor.title',
    result:
      factor === null
        ? t('demand.factor.too-few', { days: days.length })
        : t('demand.factor.result', { ...sums, factor: format.two(factor) }),
    lines: days.map((day) => ({
      label: t('demand.factor.day'),
      date: day.date,
      value: t('demand.factor.both', {
        better: format.one(day.betterMm),
        temperatures: format.one(day.hargreavesMm),
      }),
      href: `/crops/lines/weather/${day.date}`,
    })),
    equation: t('demand.factor.equation'),
    source: t('demand.factor.source'),
    back: '/crops/figures',
  })
}

/** Days of the last year on which wind and humidity were read beside the temperatures. */
async function comparedDays({ db, group, today }: Pick<Desk, 'db' | 'group' | 'today'>): Promise<ComparedDay[]> {
  const place = placeOf(group, null)
  const read = await weatherDays(db, { fromOn: addDays(today, -365), toOn: today })
  return read.flatMap((day) => comparedDay(place, day) ?? [])
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'demand.demand.title',
    intro: ['demand.demand.intro', 'demand.demand.intro-factor'],
    form: DemandForm,
    filled,
    action: '/crops/settle/demand',
    back: '/crops/figures',
  })
}
