import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import {
  keptForShort,
  leftOfEntitlementM3,
  type OpenSlot,
  openSlots,
  openWaterM3,
} from '../../../domain/rotation/booking.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { nextWeekOn, weekEndOn, weekStartOf } from '../../../domain/weeks.ts'
import type { Plot } from '../../people/plot/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { clockMinute, localClock } from '../clock.ts'
import { ownPlots } from '../plots.ts'
import { type BookableWeek, bookableWeek } from './store.ts'

/** What is free in this week and the next, as far as they are published. */
export async function freeWeeks(desk: Desk) {
  const current = weekStartOf(desk.today, desk.group)
  const weeks = []
  for (const start of [current, nextWeekOn(current, desk.group)]) {
    const week = await bookableWeek(desk.db, start)
    if (week) weeks.push(await slotsOf(desk, week))
  }
  return weeks
}

/** Water that may still be booked, and the first day with hours for it. */
export interface FreeWater {
  freeM3: M3
  fromOn: CalendarDate
}

/**
 * What these plots can still book together in the week of today, each within its part, its pumps' free hours and the water of a weir that the plots
 * before it left.
 */
export async function freeThisWeek(desk: Desk, plots: readonly Plot[]): Promise<Map<Id<'plot'>, FreeWater>> {
  const week = await bookableWeek(desk.db, weekStartOf(desk.today, desk.group))
  if (!week) return new Map()
  const domain = domainWeek(week)
  const outlets = await listOutlets(desk.db, desk.today)
  const slots = slotsAhead(desk, week)
  const weirs = week.inputs.weirs.map((weir) => ({ id: weir.id, leftM3: openForAllM3(domain, weir.id, plots) }))
  const free = new Map<Id<'plot'>, FreeWater>()
  for (const plot of plots) {
    const pumpIds = outlets.filter(({ id }) => plot.outletIds.includes(id)).map(({ pumpId }) => pumpId)
    const own = slots.filter(({ pumpId }) => pumpIds.includes(pumpId))
    const weirIds = week.inputs.pumps
      .filter(({ id }) => own.some(({ pumpId }) => pumpId === id))
      .map(({ weirId }) => weirId)
    const [weir] = weirs.filter(({ id }) => weirIds.includes(id)).sort((one, other) => other.leftM3 - one.leftM3)
    if (!weir) continue
    const freeM3 = Math.min(weir.leftM3, leftOfEntitlementM3(domain, plot.id))
    weir.leftM3 -= freeM3
    free.set(plot.id, { freeM3, fromOn: own.map(({ on }) => on).sort()[0]! })
  }
  return free
}

/** Open water of a weir without what is kept for others that went short. */
function openForAllM3(week: ReturnType<typeof domainWeek>, weirId: Id<'weir'>, plots: readonly Plot[]): M3 {
  const kept = keptForShort(week, weirId).filter(({ plotId }) => !plots.some(({ id }) => id === plotId))
  return Math.max(0, openWaterM3(week, weirId) - sum(kept, ({ volumeM3 }) => volumeM3))
}

async function slotsOf(desk: Desk, week: BookableWeek) {
  const { today } = desk
  const domain = domainWeek(week)
  const { inputs } = week
  const outlets = await listOutlets(desk.db, today)
  const plots = (await ownPlots(desk, today)).map((plot) => ({
    plot,
    leftM3: leftOfEntitlementM3(domain, plot.id),
    hasShare: week.results.shares.some((share) => share.plotId === plot.id),
    pumpIds: outlets.filter(({ id }) => plot.outletIds.includes(id)).map(({ pumpId }) => pumpId),
  }))
  // Whoever keeps the log books for everybody and sees all hours, anybody else those of the pumps that reach an own plot.
  const booksForAll = desk.may('abstraction.log')
  const seesAll = booksForAll || plots.every(({ pumpIds }) => pumpIds.length === 0)
  return {
    start: inputs.weekStartOn,
    end: weekEndOn(inputs.weekStartOn, desk.group),
    byGravity: (inputs.tanks ?? []).length > 0,
    weirs: inputs.weirs.map((weir) => ({ weir, leftM3: openWaterM3(domain, weir.id) })),
    kept: inputs.weirs.flatMap((weir) =>
      keptForShort(domain, weir.id).map(({ plotId, volumeM3 }) => ({
        weir,
        number: inputs.plots.find(({ id }) => id === plotId)?.number ?? '',
        volumeM3,
      })),
    ),
    slots: slotsAhead(desk, week)
      .filter(({ pumpId }) => seesAll || plots.some(({ pumpIds }) => pumpIds.includes(pumpId)))
      .map((slot) => {
        // For whom of the own plots these hours are: one that its pump reaches and whose part is not used up.
        const own = plots.filter(({ leftM3, pumpIds }) => leftM3 > 0 && pumpIds.includes(slot.pumpId))
        return {
          ...slot,
          pump: inputs.pumps.find((pump) => pump.id === slot.pumpId)!,
          forPlots: own.map(({ plot }) => plot.number),
          isForSomeone: booksForAll || own.length > 0,
        }
      }),
    plots,
  }
}

/** The free hours that are still to come. */
function slotsAhead(desk: Desk, week: BookableWeek): OpenSlot[] {
  const domain = domainWeek(week)
  return week.inputs.days
    .filter((on) => on >= desk.today)
    .flatMap((on: CalendarDate) => openSlots({ ...domain, on }))
    .map((slot) => (slot.on > desk.today ? slot : fromNow(slot, minuteNow(desk))))
    .filter((slot) => slot.endMinute > slot.startMinute)
}

export function minuteNow({ at, timeZone }: Desk): number {
  return clockMinute(localClock(at, timeZone))
}

/** What is left of a slot of today, from the next full five minutes on. */
function fromNow(slot: OpenSlot, nowMinute: number): OpenSlot {
  return { ...slot, startMinute: Math.max(slot.startMinute, (Math.floor(nowMinute / 5) + 1) * 5) }
}

export function domainWeek({ inputs, results, standing, shortfalls }: BookableWeek) {
  return { inputs, results, turns: standing, shortfalls }
}
