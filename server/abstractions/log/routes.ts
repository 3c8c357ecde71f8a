import { addDays, isCalendarDate } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { listPlots } from '../../people/plot/store.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks } from '../../works/tank/store.ts'
import { openFlags } from '../plausibility/store.ts'
import { type DayLog, dayLog } from './store.ts'

/** The attendant's day: the turns to log, the other lines, what is odd among them. */
export function addLogPages({ get }: Pages): void {
  get('/log', 'abstractions.see', showDay)
}

async function showDay(desk: Desk) {
  const { db, today, timeZone, query, format } = desk
  const on = dayAsked(query.on, today)
  const log = await dayLog(db, on)
  const flags = await openFlags(db, { draws: log.draws, timeZone })
  return page(desk, 'abstractions/log', {
    title: on === today ? 'abstractions.log.title-today' : 'abstractions.log.title',
    titleValues: { day: format.weekday(on) },
    on,
    before: addDays(on, -1),
    after: addDays(on, 1),
    asked: query.on === undefined || query.on === on ? null : query.on,
    turns: log.turns,
    turnsLogged: log.turns.filter(({ logged }) => logged.length > 0).length,
    tanks: await tankNumbers(desk, on),
    others: log.others,
    holders: await holderNames(desk, log, on),
    // The first of what is odd about a line opens from its mark.
    odd: Object.fromEntries([...flags].map(([id, [first]]) => [id, first?.code])),
    drawnM3: sum(log.draws, (draw) => draw.volumeM3),
  })
}

/** The number of the tank that each outlet hangs on. */
async function tankNumbers({ db }: Desk, on: string): Promise<Record<string, number>> {
  const tanks = new Map((await listTanks(db)).map((tank) => [tank.id, tank.number]))
  const fed = await tankOutletsOn(db, on)
  return Object.fromEntries([...fed].map(([outletId, { tankId }]) => [outletId, tanks.get(tankId) ?? 0]))
}

async function holderNames({ db }: Desk, { turns }: DayLog, on: string): Promise<Record<string, string>> {
  if (turns.length === 0) return {}
  const plots = await listPlots(db, on)
  return Object.fromEntries(plots.map((plot) => [plot.id, plot.holders.map((holder) => holder.name).join(', ')]))
}

/** A day that is none is answered with today, and the page says so. */
function dayAsked(asked: string | undefined, today: string): string {
  return asked !== undefined && isCalendarDate(asked) ? asked : today
}
