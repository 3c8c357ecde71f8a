import { isCalendarDate } from '../../../domain/calendar.ts'
import { isWeekOver, weekStartOf } from '../../../domain/weeks.ts'
import { turnsInDoubt } from '../../book/merge/clash-store.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { alarmLines } from '../alarm/state.ts'
import { clockMinute, localClock } from '../clock.ts'
import { lateStandstills } from '../draft/closures.ts'
import { seasonFrom } from '../outcome/season.ts'
import { outcomesOf, saidOf } from '../outcome/store.ts'
import { unsettledByDay, untypedByDay } from '../outcome/unsettled.ts'
import { ownPlots } from '../plots.ts'
import { type PublishedWeek, publicationsOf } from '../published/store.ts'
import { takenBackOf } from '../published/taken-back-store.ts'
import { bookedTurnsOf } from '../published/turn-store.ts'
import type { ListedTurn } from './pages.ts'
import { whyItStays } from './taking-back.ts'
import { shownWeek } from './view.ts'

/** The week of the address; its first day must be the group's own first day of a week. */
export async function foundWeek(desk: Desk<'start'>) {
  const { db, at, group, today, params, parts } = desk
  const weekStartOn = params.start
  if (!isCalendarDate(weekStartOn) || weekStartOf(weekStartOn, group) !== weekStartOn) {
    throw new PageError(404, 'rotation.no-such-week')
  }
  const week = await shownWeek(db, parts.rotation, { group, weekStartOn, today })
  const lateFaults = week?.published ? await lateStandstills(db, week.inputs) : []
  const turns = week?.published ? await listedTurns(db, week.published) : undefined
  const takenBack = await takenBackOf(db, weekStartOn)
  const publications = week?.published ? await publicationsOf(db, weekStartOn) : []
  const publishedTwice = publications.length - takenBack.length > 1
  const minute = clockMinute(localClock(at, group.timeZone))
  const unsettled = turns
    ? await unsettledByDay(db, turns, { today, minute })
    : await untypedByDay(db, { fromOn: await seasonFrom(db, group), today })
  const own = new Set((await ownPlots(desk, today)).map(({ id }) => id))
  const mayTakeBack = desk.may('week.publish') && week?.published ? !(await whyItStays(desk, weekStartOn)) : false
  return { weekStartOn, week, lateFaults, turns, unsettled, publishedTwice, takenBack, mayTakeBack, own }
}

/** What was agreed and what later changes brought in, each with why it was not taken. */
async function listedTurns(db: Database, published: PublishedWeek): Promise<ListedTurn[]> {
  const { turns } = await bookedTurnsOf(db, published)
  const ids = turns.map((turn) => turn.bookId)
  const outcomes = await outcomesOf(db, ids)
  const doubted = await turnsInDoubt(db)
  return turns.map((turn) => ({
    ...turn,
    missed: saidOf(outcomes, turn.bookId).missed?.cause ?? null,
    inDoubt: doubted.has(turn.bookId),
  }))
}

/** What is alarming today says nothing of a week that is over. */
export async function alarmsOfWeek(desk: Desk<'start'>) {
  return isWeekOver(desk.params.start, desk.group, desk.today) ? [] : alarmLines(desk)
}
