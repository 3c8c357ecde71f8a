import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { splitWish } from '../../../domain/people/split.ts'
import type { M3 } from '../../../domain/units.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { addRequest } from './store.ts'

/** What a plot asks for from a day on: for one week, or for every week (null), a volume or what it needs (null), m3. */
interface Wish {
  weekStartOn: CalendarDate | null
  untilOn: CalendarDate | null
  volumeM3: M3 | null
}

/** The wishes of a plot that are not over on a day: the last for every week, and the last for each week that begins later. */
export async function openWishes(db: Database, plotId: Id<'plot'>, fromOn: CalendarDate): Promise<Wish[]> {
  const lasting = await db
    .selectFrom('standingRequest')
    .innerJoin('entry', 'entry.id', 'standingRequest.entryId')
    .select(['volumeM3', 'untilOn'])
    .where('plotId', '=', plotId)
    .where(standing('standingRequest'))
    .orderBy(asWritten, 'desc')
    .executeTakeFirst()
  const once = await db
    .selectFrom('waterRequest')
    .innerJoin('entry', 'entry.id', 'waterRequest.entryId')
    .select(['volumeM3', 'weekStartOn'])
    .where('plotId', '=', plotId)
    .where('weekStartOn', '>=', fromOn)
    .where(standing('waterRequest'))
    .orderBy('entry.happenedAt')
    .orderBy(asWritten)
    .execute()
  const byWeek = new Map(once.map((row) => [row.weekStartOn, { ...row, untilOn: null }]))
  const holds = lasting && (lasting.untilOn === null || lasting.untilOn >= fromOn)
  return [...(holds ? [{ ...lasting, weekStartOn: null }] : []), ...byWeek.values()]
}

/** Writes the open wishes of a plot anew as two, by area, from a day on: together they ask for what was asked. */
export async function splitWishes(
  pen: Pen,
  split: { plotId: Id<'plot'>; newPlotId: Id<'plot'>; fromOn: CalendarDate; areas: readonly [number, number] },
): Promise<void> {
  for (const { weekStartOn, untilOn, volumeM3 } of await openWishes(pen.trx, split.plotId, split.fromOn)) {
    const halves = volumeM3 === null ? [null, null] : splitWish(volumeM3, split.areas)
    for (const [at, plotId] of [split.plotId, split.newPlotId].entries()) {
      const wish = { plotId, volumeM3: halves[at]! }
      if (weekStartOn !== null) await addRequest(pen, { ...wish, weekStartOn, forPersonId: null })
      else
        await appendEntry(
          pen,
          { kind: 'standing-request' },
          { standingRequest: [{ ...wish, fromOn: split.fromOn, untilOn }] },
        )
    }
  }
}
