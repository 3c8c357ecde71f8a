import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { pauseOn, turnList } from '../../../domain/rotation/turn-list.ts'
import type { Database } from '../../database/connection.ts'
import { listPumps } from '../../works/pump/store.ts'
import { loggedM3 } from '../outcome/season.ts'
import { outcomesOf, saidOf } from '../outcome/store.ts'
import { publishedWeeks } from '../published/store.ts'
import { bookedWeeks } from '../published/turn-store.ts'
import { pausesOf, servedSince, turnListOn } from './store.ts'

type Served = { name: string; on: string }

/**
 * Who has had the turn of a pump's list before a day: ticked on the list, logged as a turn of the week, or given up without
 * word. A turn still to come before that day is counted as had, unless the list stands still on its day; one that is over and
 * not written in counts as nothing.
 */
export async function servedBefore(
  db: Database,
  { pumpId, fromOn, on, today }: { pumpId: Id<'pump'>; fromOn: CalendarDate; on: string; today: string },
): Promise<Served[]> {
  const ticked = (await servedSince(db, pumpId, fromOn)).filter((one) => one.on < on)
  const weeks = await publishedWeeks(db, { reaching: fromOn })
  const pauses = await pausesOf(db, pumpId)
  const turns = (await bookedWeeks(db, weeks)).flatMap((week) => week.turns)
  const own = turns.filter((turn) => turn.pumpId === pumpId && turn.on >= fromOn && turn.on < on)
  const ids = own.map((turn) => turn.bookId)
  const [logged, outcomes] = [await loggedM3(db, ids), await outcomesOf(db, ids)]
  const taken = own.flatMap(({ bookId, plotId, on: day, droppedBy }): Served[] => {
    const { missed } = saidOf(outcomes, bookId)
    const isStillDue = day >= today && !droppedBy && !missed && !pauseOn(pauses, day)
    const isTaken = logged.has(bookId) || isStillDue || (!droppedBy && missed?.cause === 'no-show')
    return isTaken ? [{ name: plotId, on: day }] : []
  })
  const isTaken = (one: Served) => taken.some((turn) => turn.name === one.name && turn.on === one.on)
  return [...ticked.filter((one) => !isTaken(one)), ...taken].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))
}

/** For each pump that goes by list: the next names when a week begins. */
export async function weekLists(
  db: Database,
  { weekStartOn, today }: { weekStartOn: CalendarDate; today: string },
): Promise<{ pumpId: Id<'pump'>; plotIds: Id<'plot'>[] }[]> {
  const lists: { pumpId: Id<'pump'>; plotIds: Id<'plot'>[] }[] = []
  for (const { id: pumpId } of await listPumps(db, weekStartOn)) {
    const list = await turnListOn(db, pumpId, weekStartOn)
    if (!list) continue
    const { plotIds: names, perDay, fromOn } = list
    const served = await servedBefore(db, { pumpId, fromOn, on: weekStartOn, today })
    const { order } = turnList({ names, perDay, served, pauses: [], fromOn: weekStartOn, days: 0 })
    lists.push({ pumpId, plotIds: order })
  }
  return lists
}
