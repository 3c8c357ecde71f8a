import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays, isCalendarDate, weekStartOf } from '../../../domain/calendar.ts'
import {
  leftOfEntitlementM3,
  type OpenSlot,
  openSlots,
  openWaterM3,
  tryBooking,
} from '../../../domain/rotation/booking.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { date, number, select, time } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { clockMinute, localClock } from '../clock.ts'
import { type StandingWeek, standingWeek } from '../outcome/standing-week.ts'
import { addBooking, bookableWeek } from './store.ts'

const BookingForm = defineForm('day.booking', {
  plotId: select(),
  outletId: select(),
  onDate: date(),
  start: time(),
  volume: number({ min: 0.02, max: 10_000 }),
})

/** Thrown inside the transaction, so that a booking that came too late leaves nothing behind. */
class Refused extends Error {
  readonly field: string
  readonly key: string
  readonly values: Record<string, string | number>

  constructor(field: string, key: string, values: Record<string, string | number> = {}) {
    super(key)
    this.field = field
    this.key = key
    this.values = values
  }
}

/** After publication: pump hours that nobody has are booked first come, within water and entitlement. */
export function addBookingRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/slots', { preHandler: may('turns.see') }, async (request, reply) => {
    const weeks = []
    for (const start of await nearWeeks(request)) {
      const week = await bookableWeek(db, start)
      if (!week) continue
      const domain = domainWeek(week)
      weeks.push({
        start,
        end: addDays(start, 6),
        byGravity: (week.inputs.tanks ?? []).length > 0,
        weirs: week.inputs.weirs.map((weir) => ({ weir, leftM3: openWaterM3(domain, weir.id) })),
        slots: week.inputs.days
          .filter((on) => on >= request.visit.today)
          .flatMap((on) => openSlots({ ...domain, on }))
          .map((slot) => (slot.on > request.visit.today ? slot : fromNow(slot, clockNow(request))))
          .filter((slot) => slot.endMinute > slot.startMinute)
          .map((slot) => ({ ...slot, pump: week.inputs.pumps.find((pump) => pump.id === slot.pumpId)! })),
        plots: (await ownPlots(request)).map((plot) => ({
          plot,
          leftM3: leftOfEntitlementM3(domain, plot.id),
          hasShare: week.results.shares.some((share) => share.plotId === plot.id),
        })),
      })
    }
    return page({ request, reply }, 'rotation/booking', { title: 'day.slots-title', weeks })
  })

  app.get<{ Querystring: { on?: string; start?: string } }>(
    '/bookings/new',
    { preHandler: may('water.request') },
    async (request, reply) => {
      const [own] = await ownPlots(request)
      const { on = request.visit.today, start = '' } = request.query
      const [outletId = ''] = own?.outletIds ?? []
      return show(request, reply, emptyForm({ plotId: own?.id ?? '', outletId, onDate: on, start }))
    },
  )

  app.post('/bookings', { preHandler: may('water.request') }, async (request, reply) => {
    const form = readForm(BookingForm, request.body)
    if (!form.ok) return show(request, reply, form)
    const { plotId, outletId, onDate: on, start, volume } = form.data
    const { today } = request.visit
    const startMinute = clockMinute(start)
    if (on < today || (on === today && startMinute <= clockNow(request))) {
      return show(request, reply, withError(form, on < today ? 'onDate' : 'start', 'day.booking-past'))
    }
    const plot = (await listPlots(db, on)).find((one) => one.id === plotId)
    if (!plot) return show(request, reply, withError(form, 'plotId', 'error.choose'))
    if (!plot.outletIds.includes(outletId)) {
      return show(request, reply, withError(form, 'outletId', 'turns.outlet-does-not-reach'))
    }
    const holds = plot.holders.some((holder) => holder.id === request.person?.id)
    const forPersonId = holds ? null : (plot.holders[0]?.id ?? null)
    const weekStartOn = weekStartOf(on, found(await currentGroup(db)).firstWeekday)
    const reason = request.visit.locale.t('day.booking-reason')
    try {
      return await write(
        { db, request, reply, at: now() },
        async (pen) => {
          // Read again inside the transaction: whoever comes second finds the hours taken.
          const week = await bookableWeek(pen.trx, weekStartOn)
          if (!week) throw new Refused('onDate', 'day.booking-not-published')
          const wish = { plotId, outletId, on, startMinute, volumeM3: volume }
          const tried = tryBooking(domainWeek(week), wish)
          if ('refusal' in tried) {
            const left = 'leftM3' in tried ? request.visit.format.toLitre(tried.leftM3) : ''
            throw new Refused(fieldOf(tried.refusal), `day.booking-${tried.refusal}`, { left })
          }
          return addBooking(pen, { weekStartOn, turn: tried.turn, reason, forPersonId })
        },
        () => `/turns/days/${on}`,
      )
    } catch (error) {
      if (!(error instanceof Refused)) throw error
      return show(request, reply, withError(form, error.field, error.key, error.values))
    }
  })

  async function nearWeeks(request: FastifyRequest): Promise<string[]> {
    const current = weekStartOf(request.visit.today, found(await currentGroup(db)).firstWeekday)
    return [current, addDays(current, 7)]
  }

  async function ownPlots(request: FastifyRequest) {
    const plots = await listPlots(db, request.visit.today)
    return plots.filter((plot) => plot.holders.some((holder) => holder.id === request.person?.id))
  }

  function clockNow(request: FastifyRequest): number {
    return clockMinute(localClock(now(), request.visit.group?.timeZone ?? 'UTC'))
  }

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const on = String(filled.values.onDate ?? '')
    const plots = await listPlots(db, isCalendarDate(on) ? on : request.visit.today)
    const week = await standingWeek(
      db,
      weekStartOf(isCalendarDate(on) ? on : request.visit.today, found(await currentGroup(db)).firstWeekday),
    )
    return formPage(
      { request, reply },
      {
        title: 'day.booking.title',
        form: BookingForm,
        filled,
        options: {
          plotId: plots.map(({ id, number: no, holders }) => ({
            value: id,
            label: `${no} ${holders.map((holder) => holder.name).join(', ')}`,
          })),
          outletId: (week?.inputs.outlets ?? [])
            .filter((outlet) => !outlet.tankId)
            .map((outlet) => ({ value: outlet.id, label: `${outlet.number} ${outlet.name}` })),
        },
        action: '/turns/bookings',
        intro: ['day.booking.intro'],
        back: '/turns/slots',
      },
    )
  }
}

/** What is left of a slot of today, from the next full five minutes on. */
function fromNow(slot: OpenSlot, nowMinute: number): OpenSlot {
  return { ...slot, startMinute: Math.max(slot.startMinute, (Math.floor(nowMinute / 5) + 1) * 5) }
}

function domainWeek({ inputs, results, standing }: StandingWeek) {
  return { inputs, results, turns: standing }
}

function fieldOf(refusal: string): string {
  if (refusal === 'by-gravity') return 'outletId'
  if (refusal === 'not-in-week' || refusal === 'closed' || refusal === 'turn-there-already') return 'onDate'
  return refusal === 'no-water' || refusal === 'beyond-entitlement' ? 'volume' : 'start'
}
