import type { FastifyInstance } from 'fastify'
import { addDays, isCalendarDate, type Weekday, weekStartOf } from '../../../domain/calendar.ts'
import { pumpWater } from '../../abstractions/balance/pump-balance.ts'
import type { Database } from '../../database/connection.ts'
import type { AbstractionsTables } from '../../database/tables/abstractions.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { date, number, optional, select, text, time, whole } from '../../web/forms/fields.ts'
import { defineForm, type Typed } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { figure, inCm } from '../register/kept-store.ts'
import { type Register, trouble } from '../register/line.ts'
import { addRegister } from '../register/register.ts'
import { tankOutletsOn } from '../tank/outlet-store.ts'
import { listTanks } from '../tank/store.ts'

const MOMENTS = ['dawn', 'dusk'] as const

export const PumpReadingForm = defineForm('abstractions.pump-reading', {
  pumpId: select(),
  moment: select(MOMENTS),
  meter: number({ min: 0, max: 999_999_999 }),
  hourMeter: optional(number({ min: 0, max: 1_000_000 })),
  atTime: time(),
  onDate: date(),
  remark: optional(text({ max: 200 })),
})

export const TankForm = defineForm('abstractions.tank', {
  number: whole({ min: 1, max: 999 }),
  name: text(),
  pumpId: select(),
  area: number({ min: 0.01, max: 10_000 }),
  height: number({ min: 0.05, max: 50 }),
  fromOn: date(),
})

export const TankReadingForm = defineForm('abstractions.tank-reading', {
  tankId: select(),
  moment: select(MOMENTS),
  level: number({ min: 0, max: 5000 }),
  atTime: time(),
  onDate: date(),
})

/** Meters and tanks at dawn and dusk, and the balance of each pump that rests on them. */
export function addPumpDayRoutes(app: FastifyInstance, parts: Parts): void {
  const { db } = parts
  app.get<{ Querystring: { week?: string } }>(
    '/balance/pumps',
    { preHandler: may('abstractions.see') },
    async (request, reply) => {
      const group = found(await currentGroup(db))
      const { today } = request.visit
      const asked = request.query.week ?? ''
      const weekOn = weekStartOf(isCalendarDate(asked) ? asked : today, group.firstWeekday as Weekday)
      const ofWeek = { fromOn: weekOn, toOn: addDays(weekOn, 6) }
      const ofSeason = { fromOn: group.seasonStartOn, toOn: [group.seasonEndOn, today].toSorted()[0]! }
      return page({ request, reply }, 'abstractions/balance/pump-balance', {
        title: 'abstractions.pumps.title',
        spans: [
          { name: 'week', ...(await pumpWater(db, ofWeek)), ...ofWeek },
          { name: 'season', ...(await pumpWater(db, ofSeason)), ...ofSeason },
        ],
        before: addDays(weekOn, -7),
        after: addDays(weekOn, 7) > today ? null : addDays(weekOn, 7),
        tanks: await listTanks(db),
        byGravity: (await tankOutletsOn(db, today)).size > 0,
      })
    },
  )

  addRegister(app, parts, pumpReadingRegister())
  addRegister(app, parts, tankReadingRegister(db))
  addRegister(app, parts, {
    ...{ path: '/works/tanks', kind: 'tank', title: 'abstractions.pumps.tank-title', permission: 'works.describe' },
    ...{ back: '/works/balance/pumps', onField: 'fromOn' },
    form: () => TankForm,
    facts: async ({ number, name, pumpId, area, height }) => {
      if ((await listTanks(db)).some((tank) => tank.number === number)) {
        return trouble('number', 'people.number-taken', { number })
      }
      return { tank: [{ number, name, pump_id: pumpId, area_m2: area, height_m: height }] }
    },
  })
}

const EVERY_DAY = {
  permission: 'abstraction.log' as const,
  back: '/works/balance/pumps',
  onField: 'onDate',
  atField: 'atTime',
}

/** A pump's meter at dawn or dusk, on the screen or as a line of paper. */
export function pumpReadingRegister(): Register<typeof PumpReadingForm.fields> {
  return {
    ...EVERY_DAY,
    ...{ path: '/works/pump-readings', kind: 'pump-day-reading', title: 'abstractions.pumps.reading-title' },
    form: () => PumpReadingForm,
    facts: async ({ pumpId, moment, meter, hourMeter, atTime, onDate, remark }) => {
      const reading = { pump_id: pumpId, moment, meter_m3: meter, hour_meter_h: hourMeter, at_time: atTime }
      return { pump_day_reading: [{ ...reading, on_date: onDate, remark }] }
    },
    kept: { tables: ['pump_day_reading'], typed: ({ pump_day_reading: [row] = [] }) => typedReading(row!) },
  }
}

function typedReading(row: AbstractionsTables['pump_day_reading']): Typed {
  const { pump_id: pumpId, moment, meter_m3, hour_meter_h, at_time: atTime, on_date: onDate, remark } = row
  return {
    pumpId,
    moment,
    meter: figure(meter_m3),
    hourMeter: figure(hour_meter_h),
    atTime,
    onDate,
    remark: remark ?? '',
  }
}

function tankReadingRegister(db: Database): Register<typeof TankReadingForm.fields> {
  return {
    ...EVERY_DAY,
    ...{ path: '/works/tank-readings', kind: 'tank-reading', title: 'abstractions.pumps.tank-reading-title' },
    form: () => TankReadingForm,
    facts: async ({ tankId, moment, level, atTime, onDate }) => {
      const tank = (await listTanks(db)).find((one) => one.id === tankId)
      if (!tank) return trouble('tankId', 'error.choose')
      if (level / 100 > tank.heightM)
        return trouble('level', 'abstractions.pumps.above-rim', { height: tank.heightM * 100 })
      return { tank_reading: [{ tank_id: tankId, moment, level_m: level / 100, at_time: atTime, on_date: onDate }] }
    },
    kept: {
      tables: ['tank_reading'],
      typed: ({ tank_reading: [row] = [] }) => {
        const { tank_id, moment, level_m, at_time, on_date } = row!
        return { tankId: tank_id, moment, level: inCm(level_m), atTime: at_time, onDate: on_date }
      },
    },
  }
}
