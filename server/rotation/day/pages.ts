import { addDays } from '../../../domain/calendar.ts'
import { standsOn } from '../../../domain/works/fault.ts'
import type { Database } from '../../database/connection.ts'
import type { Filled } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { type Fault, stoppedByFaults } from '../../works/fault/store.ts'
import { callableFrom, clockMinute, hasBegun, localClock } from '../clock.ts'
import { unsettledByDay } from '../outcome/unsettled.ts'
import { ownPlots } from '../plots.ts'
import type { BookedTurn } from '../published/turn-store.ts'
import { dayFills } from './fills.ts'
import { DayChangeForm } from './forms.ts'
import type { ShownDay } from './lines.ts'
import { moveUpOffers } from './move-up.ts'
import type { DaySheet } from './store.ts'

export interface Shown {
  filled: Filled
  problem?: string
  problemValues?: Record<string, string | number>
}

type Beside = Awaited<ReturnType<typeof besideDay>>

/** What stands beside the turns of a day: whose they are, who could move up, and what nobody has written in. */
export async function besideDay(desk: Desk, day: ShownDay) {
  const { db, group, today, at: now } = desk
  const { timeZone } = group
  const fromMinute = callableFrom({ on: day.on, today, now, timeZone })
  const mayCall = day.on >= today && desk.may('abstraction.log')
  const turns = day.lines.map((line) => line.turn)
  return {
    ownPlotIds: (await ownPlots(desk, day.on)).map((plot) => plot.id),
    isBegun: (turn: BookedTurn) => hasBegun(turn, { today, now, timeZone }),
    offers: mayCall ? await moveUpOffers(db, { group, day, fromMinute }) : [],
    unsettled: await unsettledByDay(db, turns, { today, minute: clockMinute(localClock(now, timeZone)) }),
    fills: await dayFills(db, { group, day }),
    stopped: await stoppedOn(db, day.on),
  }
}

/** Faults that keep a pump or an outlet from running on a day. */
async function stoppedOn(db: Database, on: string): Promise<Fault[]> {
  return (await stoppedByFaults(db)).filter((one) => standsOn(one, on)).map(({ fault }) => fault)
}

export function dayPage({ format, today }: Desk, day: ShownDay, shown: Shown & Beside) {
  const { filled, problem, problemValues, ...beside } = shown
  const pumps = day.week?.inputs.pumps ?? []
  return {
    title: day.on === today ? 'day.title-today' : 'day.title',
    titleValues: { day: format.weekday(day.on) },
    day,
    problem: problem ?? null,
    problemValues: problemValues ?? { count: day.totals.byState.open.count },
    ...beside,
    differs: day.sheet !== null && JSON.stringify(day.sheet.found) !== JSON.stringify(foundOn(day)),
    before: addDays(day.on, -1),
    after: addDays(day.on, 1),
    form: DayChangeForm,
    filled: pumps.length === 1 && !filled.values.pumpId ? withPump(filled, pumps[0]!.id) : filled,
    options: { pumpId: pumps.map(numberedOption) },
    action: `/turns/days/${day.on}/changes`,
    submit: 'day.share-anew',
  }
}

function withPump(filled: Filled, pumpId: string): Filled {
  return { ...filled, values: { ...filled.values, pumpId } }
}

/** What a sheet is closed with: its sums, and what was given beside it. */
export function foundOn({ totals, offSheet }: ShownDay): DaySheet['found'] {
  return { totals: { ...totals.byState, listed: totals.listed }, offSheet: offSheet.map((draw) => draw.id) }
}
