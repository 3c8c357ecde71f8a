import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import { nextWeekOn, weekStartOf } from '../../../domain/weeks.ts'
import { weeklyNeeds } from '../../crops/need/state.ts'
import type { Plot } from '../../people/plot/store.ts'
import { type FreeWater, freeThisWeek } from '../../rotation/booking/state.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Line } from './line.ts'
import { type Now, ownAhead } from './now.ts'

type Short = {
  plot: Plot
  need: Awaited<ReturnType<typeof weeklyNeeds>>[number]
  by: CalendarDate | null
}

/** What is free is told down to ten jerrycans; for less nobody walks to the pump. */
const TEN_JERRYCANS_M3 = 0.2

/** How a short crop can be helped from here: hours that nobody has, asking for the next week, or nothing that a form could do. */
type Way = 'free' | 'ask' | 'none'

/**
 * Own plots whose crop is short today or will be before their next turn, a line for each way in which that can be helped: what to do, since
 * when or until when. Whoever has an office finds it under the crops: that first page asks much of the book already.
 */
export async function thirsty(desk: Desk, now: Now): Promise<Line[]> {
  const { db, today, group, person } = desk
  if (now.ownPlots.length === 0 || person.roles.some((role) => role !== 'member')) return []
  const needs = await weeklyNeeds(db, { group, weekStartOn: weekStartOf(today, group), today })
  const short = now.ownPlots.flatMap((plot) =>
    needs.filter(({ plotId }) => plotId === plot.id).flatMap((need) => shortOf(desk, now, { plot, need })),
  )
  if (short.length === 0) return []
  const free = desk.may('water.request')
    ? await freeThisWeek(
        desk,
        short.map(({ plot }) => plot),
      )
    : new Map()
  const wayOf = ({ plot }: Short): Way => {
    if ((free.get(plot.id)?.freeM3 ?? 0) >= TEN_JERRYCANS_M3) return 'free'
    return desk.may('water.request') && !now.weeks.isPublished.next ? 'ask' : 'none'
  }
  return (['free', 'ask', 'none'] as const).flatMap((way) =>
    lineOf(desk, now, { way, short: short.filter((one) => wayOf(one) === way), free }),
  )
}

/** Short today (by null), or from the day after `by` on, before its next turn. */
function shortOf(desk: Desk, now: Now, one: Omit<Short, 'by'>): Short[] {
  if (one.need.daysLeft?.likely === 0) return [{ ...one, by: null }]
  const by = waterBy(desk, one)
  return by !== null && by < waterOn(desk, now, one.plot.id) ? [{ ...one, by }] : []
}

/** The last day on which water still comes in time, as long as it is to come: water given on a day relieves the next. */
function waterBy({ today }: Desk, { need: { daysLeft } }: Pick<Short, 'need'>): CalendarDate | null {
  const days = daysLeft?.likely ?? 0
  return days > 0 ? addDays(today, days - 1) : null
}

/** The day of a plot's next turn, or the first of which nothing is agreed yet. */
function waterOn(desk: Desk, now: Now, plotId: Id<'plot'>): CalendarDate {
  const days = ownAhead(desk, now)
    .filter((turn) => turn.plotId === plotId)
    .map(({ on }) => on)
  const { current, next, isPublished } = now.weeks
  return days.sort()[0] ?? (isPublished.next ? nextWeekOn(next, desk.group) : isPublished.current ? next : current)
}

interface Told {
  way: Way
  short: readonly Short[]
  /** What each plot may still book. */
  free: ReadonlyMap<string, FreeWater>
}

const DOOR: Record<Exclude<Way, 'none'>, string> = { free: '/turns/asked?as=free', ask: '/turns/ask' }

function lineOf(desk: Desk, now: Now, { way, short, free }: Told): Line[] {
  const [first] = short
  if (!first) return []
  const { t, format, today } = desk
  const [by] = short.flatMap((one) => one.by ?? []).sort()
  const isShort = short.some((one) => one.by === null)
  const booked = short.flatMap(({ plot }) => free.get(plot.id) ?? [])
  const freeM3 = sum(booked, (one) => one.freeM3)
  const [from] = booked.map(({ fromOn }) => fromOn).sort()
  const values = {
    count: short.length,
    plots: short.map(({ plot }) => plot.number).join(', '),
    since: isShort ? 'today' : by === today ? 'now' : 'before',
    day: by ? format.weekday(by) : '',
    free: format.jerrycans(Math.floor(freeM3 / TEN_JERRYCANS_M3) * TEN_JERRYCANS_M3),
    from: from ? format.weekday(from) : '',
    late: !isShort && from && by && from > by ? 'yes' : 'no',
    way,
  }
  return [
    {
      picture: 'crops',
      words: t(`today.thirsty-${way}`, values),
      small: t('today.thirsty-words', values),
      // Who waters today reads the own turn first.
      isPressing: !ownAhead(desk, now).some(({ on }) => on === today),
      href: way === 'none' ? `/crops/plots/${first.plot.id}` : DOOR[way],
    },
  ]
}
