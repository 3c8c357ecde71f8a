import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets, listPumps } from '../../works/pump/store.ts'
import { setTankOutlet, tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks, type Tank } from '../../works/tank/store.ts'
import { TankOutletForm, TankUseForm } from './forms.ts'
import { lastTankLevels, setTankUse, type TankUse, tankUsesOn } from './store.ts'

const END_OF_TIME = '9999-12-31'
const CAUTIONS = [
  'gravity.caution-weight',
  'gravity.caution-overflow',
  'gravity.caution-climb',
  'gravity.caution-drink',
]

/** Which outlets hang on which raised tank, in which hours their water may run, and what always stays in the tank. */
export function addTankTurnRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const works = { preHandler: may('works.describe') }

  app.get('/tank-turns', { preHandler: may('turns.see') }, async (request, reply) => {
    const { today } = request.visit
    const outlets = await listOutlets(db, today)
    const pumps = await listPumps(db, today)
    const [fed, later] = [await tankOutletsOn(db, today), await tankOutletsOn(db, END_OF_TIME)]
    const [uses, laterUses] = [await tankUsesOn(db, today), await tankUsesOn(db, END_OF_TIME)]
    const levels = await lastTankLevels(db, { weekStartOn: addDays(today, 1), today })
    return page({ request, reply }, 'rotation/tank-turns', {
      title: 'gravity.title',
      cautions: CAUTIONS,
      tanks: (await listTanks(db)).map((tank) => ({
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
  })

  app.get('/tank-outlets/new', works, async (request, reply) =>
    showOutlet(request, reply, emptyForm({ fromOn: request.visit.today })),
  )

  app.post('/tank-outlets', works, async (request, reply) => {
    const form = readForm(TankOutletForm, request.body)
    if (!form.ok) return showOutlet(request, reply, form)
    const { outletId, tankId, fromOn } = form.data
    const outlet = (await listOutlets(db, fromOn)).find((one) => one.id === outletId)
    if (!outlet) return showOutlet(request, reply, withError(form, 'outletId', 'error.choose'))
    const tank = await tankById(tankId)
    if (tankId !== null && !tank) return showOutlet(request, reply, withError(form, 'tankId', 'error.choose'))
    if (tank && tank.pumpId !== outlet.pumpId) {
      return showOutlet(request, reply, withError(form, 'tankId', 'gravity.other-pump'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setTankOutlet(pen, { outletId, tankId, fromOn }),
      () => '/turns/tank-turns',
    )
  })

  app.get('/tank-uses/new', works, async (request, reply) =>
    showUse(request, reply, emptyForm({ fromTime: '05:00', toTime: '20:00', fromOn: request.visit.today })),
  )

  app.post('/tank-uses', works, async (request, reply) => {
    const form = readForm(TankUseForm, request.body)
    if (!form.ok) return showUse(request, reply, form)
    const { tankId, fromTime, toTime, kept, servesStand, fromOn } = form.data
    const tank = await tankById(tankId)
    if (!tank) return showUse(request, reply, withError(form, 'tankId', 'error.choose'))
    if ((fromTime === null) !== (toTime === null)) {
      return showUse(request, reply, withError(form, fromTime === null ? 'fromTime' : 'toTime', 'gravity.both-hours'))
    }
    if (fromTime !== null && fromTime === toTime) {
      return showUse(request, reply, withError(form, 'toTime', 'gravity.same-hours'))
    }
    const capacity = tank.areaM2 * tank.heightM
    if (kept >= capacity) return showUse(request, reply, withError(form, 'kept', 'gravity.kept-above', { capacity }))
    if (servesStand && kept === 0) return showUse(request, reply, withError(form, 'kept', 'gravity.kept-missing'))
    const fromHour = fromTime === null ? null : hourOf(fromTime)
    // Midnight as an end is the end of the day.
    const toHour = toTime === null ? null : hourOf(toTime) || 24
    return write(
      { db, request, reply, at: now() },
      (pen) => setTankUse(pen, { tankId, fromOn, fromHour, toHour, keptM3: kept, servesStand }),
      () => '/turns/tank-turns',
    )
  })

  async function tankById(id: string | null): Promise<Tank | undefined> {
    return (await listTanks(db)).find((tank) => tank.id === id)
  }

  async function showOutlet(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const outlets = await listOutlets(db, request.visit.today)
    return formPage(
      { request, reply },
      {
        title: 'gravity.outlet-title',
        form: TankOutletForm,
        filled,
        action: '/turns/tank-outlets',
        options: { outletId: outlets.map(named), tankId: (await listTanks(db)).map(named) },
        intro: ['gravity.outlet-intro'],
        back: '/turns/tank-turns',
      },
    )
  }

  async function showUse(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    return formPage(
      { request, reply },
      {
        title: 'gravity.use-title',
        form: TankUseForm,
        filled,
        action: '/turns/tank-uses',
        options: { tankId: (await listTanks(db)).map(named) },
        intro: ['gravity.use-intro'],
        cautions: CAUTIONS,
        back: '/turns/tank-turns',
      },
    )
  }
}

/** What holds today, and what was written for a day to come with its day: nobody should think that it was lost. */
function usesOf(now: TankUse | undefined, then: TankUse | undefined, today: string): (TankUse | null)[] {
  const later = then && then.fromOn > today ? [then] : []
  return now ? [now, ...later] : later.length > 0 ? later : [null]
}

function named({ id, number, name }: { id: string; number: number; name: string }) {
  return { value: id, label: `${number} ${name}` }
}

function hourOf(clock: string): number {
  const [hours, minutes] = clock.split(':').map(Number)
  return hours! + minutes! / 60
}
