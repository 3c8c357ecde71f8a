import type { CalendarDate } from '../../domain/calendar.ts'
import type { PlannedTurn } from '../../domain/rotation/timetable/types.ts'
import type { NewManualChange } from '../../domain/rotation/week/manual-change.ts'
import { daysOfWeek, fallsOn } from '../../domain/weeks.ts'
import { listPlots, type Plot } from '../people/plot/store.ts'
import type { Desk } from '../web/pages/desk.ts'
import { clockHour } from './clock.ts'
import { customsOfPlot, isWholeDay } from './constraint/custom-store.ts'
import { dayInWeek } from './day-in-week.ts'
import type { Wrong } from './typed-volume.ts'

type Asking = Pick<Desk, 'db' | 'format' | 'group' | 't'>
type Kept = Awaited<ReturnType<typeof customsOfPlot>>[number]

/** What the group or the plot's household keeps free, in its own words, where it meets minutes of a day; null where nothing does. */
export async function customRefusal(
  desk: Asking,
  plot: Pick<Plot, 'holders'>,
  { on, startMinute, endMinute }: { on: CalendarDate; startMinute: number; endMinute: number },
): Promise<Wrong | null> {
  const customs = await customsOfPlot(desk.db, { on, rhythm: desk.group }, plot)
  const met = customs.find(({ fromHour, toHour }) => fromHour * 60 < endMinute && toHour * 60 > startMinute)
  return met ? { field: isWholeDay(met) ? 'onDate' : 'start', ...saidOf(desk, met, on) } : null
}

/** The same for a change by hand: all minutes of the turn as it was laid, or its first where none can be laid there. */
export async function customTurnRefusal(
  desk: Asking,
  { plotId, on, startMinute }: Pick<NewManualChange, 'plotId' | 'on' | 'startMinute'>,
  laid: { turn: PlannedTurn | null } | { refusal: string },
): Promise<Wrong | null> {
  if (on === null || startMinute === null) return null
  const plot = (await listPlots(desk.db, on)).find(({ id }) => id === plotId)
  const turn = 'turn' in laid ? laid.turn : null
  return plot ? customRefusal(desk, plot, turn ?? { on, startMinute, endMinute: startMinute + 1 }) : null
}

interface Wished {
  weekStartOn: CalendarDate
  wishedDay: string | null
  wishedFrom: string | null
  wishedTo: string | null
}

/** The same for the day or the hours that a request wishes, where on each day that it can mean nothing of them is left. */
export async function customWishRefusal(
  desk: Asking,
  { weekStartOn, wishedDay, wishedFrom, wishedTo }: Wished,
  plot: Pick<Plot, 'holders'>,
): Promise<Wrong | null> {
  if (wishedDay === null && wishedFrom === null && wishedTo === null) return null
  const from = wishedFrom === null ? 0 : clockHour(wishedFrom)
  const to = wishedTo === null ? 24 : clockHour(wishedTo)
  const days = daysOfWeek(weekStartOn, desk.group).filter((on) => fallsOn(on, dayInWeek(wishedDay), desk.group))
  let first: Wrong | null = null
  for (const on of days) {
    const customs = await customsOfPlot(desk.db, { on, rhythm: desk.group }, plot)
    const met = customs.find(({ fromHour, toHour }) => fromHour <= from && toHour >= to)
    if (!met) return null
    first ??= { field: isWholeDay(met) ? 'wishedDay' : 'wishedFrom', ...saidOf(desk, met, on) }
  }
  return first
}

function saidOf({ t, format }: Asking, one: Kept, on: CalendarDate): Omit<Wrong, 'field'> {
  const whose =
    one.personName === null
      ? t('constraint.custom.everybody')
      : t('constraint.custom.household', { name: one.personName })
  const [from, to] = [one.fromHour, one.toHour].map((hour) => format.clock(hour * 60))
  const values = {
    day: format.weekday(on),
    cause: t(`constraint.custom.cause.${one.cause}`),
    whose,
    hours: isWholeDay(one) ? 'none' : 'some',
    from: from!,
    to: to!,
    words: one.words,
  }
  return { key: 'constraint.custom.refused', values }
}
