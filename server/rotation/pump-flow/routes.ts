import { addDays, isCalendarDate } from '../../../domain/calendar.ts'
import { daysOfWeek, weekEndOn, weekStartOf } from '../../../domain/weeks.ts'
import type { Sky } from '../../../domain/works/pump-day.ts'
import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { type FormPage, formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { listPumps, type Pump } from '../../works/pump/store.ts'
import { findPublishedWeek } from '../published/store.ts'
import { weekOr404 } from '../week/view.ts'
import { weekValues } from '../week/words.ts'
import { MountForm, PumpDayForm, SKIES, skyForm } from './forms.ts'
import { flowWorking } from './pages.ts'
import { addPumpPages } from './pump-routes.ts'
import { setWeekSkies, weekSkies } from './sky-store.ts'
import { addPumpDaySky, setPumpMount } from './store.ts'

/** Each pump's panels and days, and the sky that the committee expects for a week. */
export function addPumpFlowPages(pages: Pages): void {
  const { get, post } = pages
  addPumpPages(pages)
  get('/works/settle/panels/:id', 'abstraction.log', newMount)
  post('/works/settle/panels/:id', 'abstraction.log', writeMount)
  get('/works/settle/sky/:id', 'abstraction.log', newPumpDay)
  post('/works/settle/sky/:id', 'abstraction.log', writePumpDay)
  get('/turns/settle/sky/:start', 'week.publish', newSky)
  post('/turns/settle/sky/:start', 'week.publish', writeSky)
  get('/turns/working/pump/:start/:pumpId', 'turns.see', showFlow)
}

async function newMount(desk: Desk<'id'>) {
  return formPage(desk, mountPage(await pumpOr404(desk), emptyForm({ fromOn: desk.today })))
}

async function writeMount(desk: Desk<'id'>) {
  const pump = await pumpOr404(desk)
  const form = readForm(MountForm, desk.body)
  if (!form.ok) return formPage(desk, mountPage(pump, form))
  return write(
    desk,
    (pen) => setPumpMount(pen, { pumpId: pump.id, ...form.data }),
    () => '/works',
  )
}

async function newPumpDay(desk: Desk<'id'>) {
  return formPage(desk, pumpDayPage(await pumpOr404(desk), emptyForm({ onDate: desk.today })))
}

async function writePumpDay(desk: Desk<'id'>) {
  const pump = await pumpOr404(desk)
  const form = readForm(PumpDayForm, desk.body)
  if (!form.ok) return formPage(desk, pumpDayPage(pump, form))
  if (form.data.onDate > desk.today) {
    return formPage(desk, pumpDayPage(pump, withError(form, 'onDate', 'pump-flow.day-to-come')))
  }
  return write(
    desk,
    (pen) => addPumpDaySky(pen, { pumpId: pump.id, ...form.data }),
    () => '/works',
  )
}

async function newSky(desk: Desk<'start'>) {
  // Doors beside the weather know the week and not whether it is agreed by now.
  const { start } = desk.params
  if (await findPublishedWeek(desk.db, start)) return desk.reply.redirect(`/turns/weeks/${start}`, 303)
  const days = await draftDays(desk)
  const skies = await weekSkies(desk.db, days[0]!)
  return showSky(desk, days, emptyForm(Object.fromEntries(days.map((day) => [day, skies[day] ?? 'clear']))))
}

async function writeSky(desk: Desk<'start'>) {
  const days = await draftDays(desk)
  const form = readForm(skyForm(days), desk.body)
  if (!form.ok) return showSky(desk, days, form)
  return write(
    desk,
    (pen) => setWeekSkies(pen, days[0]!, form.data as Record<string, Sky>),
    () => `/turns/weeks/${days[0]}`,
  )
}

async function showFlow(desk: Desk<'start' | 'pumpId'>) {
  const { start, pumpId } = desk.params
  const { inputs } = await weekOr404(desk, start)
  const pump = found(inputs.pumps.find((one) => one.id === pumpId))
  const facts = found(inputs.turnFacts?.pumps.find((one) => one.pumpId === pumpId))
  return workingPage(desk, { ...flowWorking(desk, { weekStartOn: start, pump, facts }), doors: await skyDoors(desk) })
}

/** To the sky that is expected: of this week, or of the one after it where this one is agreed already. */
async function skyDoors({ db, group, may, t, params: { start } }: Desk<'start' | 'pumpId'>) {
  if (!may('week.publish')) return []
  for (const week of [start, addDays(weekEndOn(start, group), 1)]) {
    if (await findPublishedWeek(db, week)) continue
    return [{ href: `/turns/settle/sky/${week}`, words: t('week.sky-door') }]
  }
  return []
}

async function pumpOr404({ db, today, params }: Desk<'id'>): Promise<Pump> {
  return found((await listPumps(db, today)).find((pump) => pump.id === params.id))
}

/** The days of a week that is still a draft. */
async function draftDays({ db, group, params: { start } }: Desk<'start'>): Promise<string[]> {
  found((isCalendarDate(start) && weekStartOf(start, group) === start) || undefined)
  if (await findPublishedWeek(db, start)) throw new PageError(409, 'rotation.already-published')
  return daysOfWeek(start, group)
}

function showSky(desk: Desk, days: string[], filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const titleValues = weekValues(desk, days[0]!)
  return page(desk, 'rotation/sky', { title: 'pump-flow.sky-title', titleValues, days, filled, skies: SKIES })
}

function mountPage({ id, number, name }: Pump, filled: Filled): FormPage {
  return {
    title: 'pump-flow.mount-title',
    titleValues: { number, name },
    form: MountForm,
    filled,
    action: `/works/settle/panels/${id}`,
    intro: ['pump-flow.mount-intro'],
    cautions: ['people.pump.caution-electric'],
    back: '/works',
  }
}

function pumpDayPage({ id, number, name }: Pump, filled: Filled): FormPage {
  return {
    title: 'pump-flow.pump-day-title',
    titleValues: { number, name },
    form: PumpDayForm,
    filled,
    action: `/works/settle/sky/${id}`,
    intro: ['pump-flow.pump-day-intro'],
    back: '/works',
  }
}
