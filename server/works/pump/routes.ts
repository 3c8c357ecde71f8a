import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { keptFrom, nextOr, type Repeated } from '../../web/pages/another.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { OutletForm, PumpForm } from './forms.ts'
import { addFlowTest, addOutlet, addPump, flowTestsOf, listOutlets, listPumps, namedWeirs } from './store.ts'

/** Pumps on weirs, and outlets on pumps. */
export function addPumpPages({ get, post }: Pages): void {
  get('/works/pumps/new', 'works.describe', newPump)
  post('/works/pumps/new', 'works.describe', writePump)
  get('/works/outlets/new', 'works.describe', newOutlet)
  post('/works/outlets/new', 'works.describe', writeOutlet)
  get('/works/outlets/:id', 'people.see', showOutlet)
}

const NEXT_PUMP: Repeated = { path: '/works/pumps/new', keeps: ['weirId', 'fromOn'] }
const NEXT_OUTLET: Repeated = { path: '/works/outlets/new', keeps: ['pumpId', 'testedOn'] }

/** What most small pumps on panels are like; each can be changed. */
const USUAL_PUMP = { firstHour: '7', lastHour: '17', sunThreshold: '250', meterDigits: '5', outletsAtOnce: '1' }

async function newPump(desk: Desk) {
  const number = String((await listPumps(desk.db, desk.today)).length + 1)
  return pumpForm(desk, emptyForm({ number, ...USUAL_PUMP, fromOn: desk.today, ...keptFrom(desk, NEXT_PUMP) }))
}

async function writePump(desk: Desk) {
  const { db, today } = desk
  const form = readForm(PumpForm, desk.body)
  if (!form.ok) return pumpForm(desk, form)
  const { usualFlow, sunThreshold, usualDay, ...rest } = form.data
  const { number, weirId } = rest
  if ((await listPumps(db, today)).some((pump) => pump.number === number)) {
    return pumpForm(desk, withError(form, 'number', 'people.number-taken', { number }))
  }
  if (rest.lastHour <= rest.firstHour) {
    return pumpForm(desk, withError(form, 'lastHour', 'people.pump.hours-backwards'))
  }
  if (!(await namedWeirs(db)).some((weir) => weir.id === weirId)) {
    return pumpForm(desk, withError(form, 'weirId', 'error.choose'))
  }
  const pump = { ...rest, usualFlowM3PerH: usualFlow, sunThresholdWPerM2: sunThreshold, usualDayM3: usualDay }
  return write(
    desk,
    (pen) => addPump(pen, pump),
    () => nextOr(desk, NEXT_PUMP, '/people'),
  )
}

async function newOutlet(desk: Desk) {
  const number = String((await listOutlets(desk.db, desk.today)).length + 1)
  return outletForm(desk, emptyForm({ number, testedOn: desk.today, ...keptFrom(desk, NEXT_OUTLET) }))
}

async function writeOutlet(desk: Desk) {
  const { db, today } = desk
  const form = readForm(OutletForm, desk.body)
  if (!form.ok) return outletForm(desk, form)
  const { number, name, pumpId, flow, testedOn } = form.data
  if ((await listOutlets(db, today)).some((outlet) => outlet.number === number)) {
    return outletForm(desk, withError(form, 'number', 'people.number-taken', { number }))
  }
  if (!(await listPumps(db, today)).some((pump) => pump.id === pumpId)) {
    return outletForm(desk, withError(form, 'pumpId', 'error.choose'))
  }
  if (testedOn > today) return outletForm(desk, withError(form, 'testedOn', 'error.day-to-come'))
  return write(
    desk,
    async (pen) => {
      const outletId = await addOutlet(pen, { number, name, pumpId })
      await addFlowTest(pen, { outletId, testedOn, flowM3PerH: flow })
    },
    (id) => nextOr(desk, NEXT_OUTLET, `/works/outlets/${id}`),
  )
}

async function showOutlet(desk: Desk<'id'>) {
  const { db, params, today } = desk
  const outlet = found((await listOutlets(db, today)).find(({ id }) => id === params.id))
  return page(desk, 'works/outlet', {
    title: 'people.outlet.heading',
    titleValues: { number: outlet.number, name: outlet.name },
    outlet,
    pump: (await listPumps(desk.db, desk.today)).find(({ id }) => id === outlet.pumpId) ?? null,
    tests: await flowTestsOf(db, outlet.id),
  })
}

async function pumpForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.pump.title',
    form: PumpForm,
    filled,
    options: { weirId: (await namedWeirs(desk.db)).map(numberedOption) },
    action: '/works/pumps/new',
    another: true,
    cautions: ['people.pump.caution-electric', 'people.pump.caution-chamber', 'works.caution-fuel'],
    back: '/people',
  })
}

async function outletForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.outlet.title',
    form: OutletForm,
    filled,
    options: { pumpId: (await listPumps(desk.db, desk.today)).map(numberedOption) },
    action: '/works/outlets/new',
    another: true,
    cautions: ['works.caution-fertiliser'],
    back: '/people',
  })
}
