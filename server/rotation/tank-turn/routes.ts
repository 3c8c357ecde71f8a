import { addDays } from '../../../domain/calendar.ts'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import { typedSentences } from '../../people/measure/state.ts'
import { countOptions, countTyped } from '../../people/measure/volume-state.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets, listPumps } from '../../works/pump/store.ts'
import { setTankOutlet, tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks, type Tank } from '../../works/tank/store.ts'
import { clockHour } from '../clock.ts'
import { TankOutletForm, TankUseForm } from './forms.ts'
import { capacityOf, lastTankLevels, type StandingUse, setTankUse, tankUsesOn } from './store.ts'

/** More than any tank of a group. The bound is ours. */
const MOST_KEPT_M3 = 100_000

const END_OF_TIME = '9999-12-31'
const CAUTIONS = [
  'tank-turn.caution-weight',
  'tank-turn.caution-overflow',
  'tank-turn.caution-climb',
  'tank-turn.caution-drink',
]

/** Which outlets hang on which raised tank, in which hours their water may run, and what always stays in the tank. */
export function addTankTurnPages({ get, post }: Pages): void {
  get('/works?as=tanks', 'turns.see', showTanks)
  get('/works/settle/tank-of-outlet', 'works.describe', newTankOutlet)
  post('/works/settle/tank-of-outlet', 'works.describe', writeTankOutlet)
  get('/works/settle/tank-use', 'works.describe', newTankUse)
  post('/works/settle/tank-use', 'works.describe', writeTankUse)
}

async function showTanks(desk: Desk) {
  const { db, today } = desk
  const outlets = await listOutlets(db, today)
  const pumps = await listPumps(db, today)
  const [fed, later] = [await tankOutletsOn(db, today), await tankOutletsOn(db, END_OF_TIME)]
  const [uses, laterUses] = [await tankUsesOn(db, today), await tankUsesOn(db, END_OF_TIME)]
  const levels = await lastTankLevels(db, { weekStartOn: addDays(today, 1), today })
  const counts = [...uses.values(), ...laterUses.values()].map(({ id }) => id)
  const tanks = await listTanks(db)
  return page(desk, 'rotation/tank-turns', {
    title: 'tank-turn.title',
    cautions: CAUTIONS,
    counted: await typedSentences(desk, [...counts, ...tanks.map(({ id }) => id)]),
    tanks: tanks.map((tank) => ({
      tank,
      pump: pumps.find((pump) => pump.id === tank.pumpId) ?? null,
      uses: usesOf(uses.get(tank.id), laterUses.get(tank.id), today),
      level: levels.get(tank.id) ?? null,
      outlets: outlets.flatMap((outlet) => {
        const [now, then] = [fed.get(outlet.id), later.get(outlet.id)]
        const hangs = now?.tankId === tank.id ? now : then?.tankId === tank.id ? then : null
        return hangs ? [{ ...outlet, fromOn: hangs.fromOn }] : []
      }),
    })),
  })
}

/** What holds today, and what was written for a day to come with its day: nobody should think that it was lost. */
function usesOf(now: StandingUse | undefined, then: StandingUse | undefined, today: string): (StandingUse | null)[] {
  const later = then && then.fromOn > today ? [then] : []
  return now ? [now, ...later] : later.length > 0 ? later : [null]
}

async function newTankOutlet(desk: Desk) {
  return showOutlet(desk, emptyForm({ fromOn: desk.today }))
}

async function writeTankOutlet(desk: Desk) {
  const form = readForm(TankOutletForm, desk.body)
  if (!form.ok) return showOutlet(desk, form)
  const { outletId, tankId, fromOn } = form.data
  const outlet = (await listOutlets(desk.db, fromOn)).find((one) => one.id === outletId)
  if (!outlet) return showOutlet(desk, withError(form, 'outletId', 'error.choose'))
  const tank = await tankById(desk.db, tankId)
  if (tankId !== null && !tank) return showOutlet(desk, withError(form, 'tankId', 'error.choose'))
  if (tank && tank.pumpId !== outlet.pumpId) return showOutlet(desk, withError(form, 'tankId', 'tank-turn.other-pump'))
  return write(
    desk,
    (pen) => setTankOutlet(pen, { outletId, tankId, fromOn }),
    () => '/works?as=tanks',
  )
}

async function newTankUse(desk: Desk) {
  return showUse(desk, emptyForm({ fromTime: '05:00', toTime: '20:00', fromOn: desk.today }))
}

async function writeTankUse(desk: Desk) {
  const form = readForm(TankUseForm, desk.body)
  if (!form.ok) return showUse(desk, form)
  const { tankId, fromTime, toTime, kept: figure, keptIn: unit, servesStand, fromOn } = form.data
  const tank = await tankById(desk.db, tankId)
  if (!tank) return showUse(desk, withError(form, 'tankId', 'error.choose'))
  if ((fromTime === null) !== (toTime === null)) {
    return showUse(desk, withError(form, fromTime === null ? 'fromTime' : 'toTime', 'tank-turn.both-hours'))
  }
  if (fromTime !== null && fromTime === toTime) return showUse(desk, withError(form, 'toTime', 'tank-turn.same-hours'))
  const capacity = capacityOf(tank)
  const lines = { figure, unit, field: 'kept', unitField: 'keptIn', on: desk.today }
  const read = await countTyped(desk.db, form, { ...lines, mostM3: MOST_KEPT_M3, usual: 'water in a tank, m3' })
  if ('again' in read) return showUse(desk, read.again)
  const kept = read.volumeM3!
  if (kept >= capacity) return showUse(desk, withError(form, 'kept', 'tank-turn.kept-above', { capacity }))
  if (servesStand && kept === 0) return showUse(desk, withError(form, 'kept', 'tank-turn.kept-missing'))
  const fromHour = fromTime === null ? null : clockHour(fromTime)
  // Midnight as an end is the end of the day.
  const toHour = toTime === null ? null : clockHour(toTime) || 24
  return write(
    desk,
    (pen) => setTankUse(pen, { tankId, fromOn, fromHour, toHour, keptM3: kept, servesStand }, read.typed),
    () => '/works?as=tanks',
  )
}

async function tankById(db: Database, id: string | null): Promise<Tank | undefined> {
  return (await listTanks(db)).find((tank) => tank.id === id)
}

async function showOutlet(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'tank-turn.outlet-title',
    form: TankOutletForm,
    filled,
    action: '/works/settle/tank-of-outlet',
    options: {
      outletId: (await listOutlets(desk.db, desk.today)).map(numberedOption),
      tankId: (await listTanks(desk.db)).map(numberedOption),
    },
    intro: ['tank-turn.outlet-intro'],
    back: '/works?as=tanks',
  })
}

async function showUse(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'tank-turn.use-title',
    form: TankUseForm,
    filled,
    action: '/works/settle/tank-use',
    options: { tankId: (await listTanks(desk.db)).map(numberedOption), keptIn: await countOptions(desk) },
    intro: ['tank-turn.use-intro'],
    cautions: CAUTIONS,
    back: '/works?as=tanks',
  })
}
