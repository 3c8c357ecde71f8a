import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** A rest day, market, mourning or repair: no turns of one pump, or of all. */
interface NoTurnDay {
  onDate: string
  pumpId: Id<'pump'> | null
  words: string
}

export async function noTurnDays(db: Database, fromOn: CalendarDate, toOn: CalendarDate): Promise<NoTurnDay[]> {
  return db
    .selectFrom('noTurnDay')
    .select(['onDate', 'pumpId', 'words'])
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .where(standing('noTurnDay'))
    .orderBy('onDate')
    .execute()
}

export async function addNoTurnDay(pen: Pen, day: NoTurnDay): Promise<string> {
  const row = { onDate: day.onDate, pumpId: day.pumpId, words: day.words }
  return appendEntry(pen, { kind: 'no-turn-day' }, { noTurnDay: [row] })
}
