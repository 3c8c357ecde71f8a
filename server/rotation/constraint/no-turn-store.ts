import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** A rest day, market, mourning or repair: no turns of one pump, or of all. */
interface NoTurnDay {
  onDate: string
  pumpId: string | null
  words: string
}

export async function noTurnDays(db: Database, fromOn: string, toOn: string): Promise<NoTurnDay[]> {
  return db
    .selectFrom('no_turn_day')
    .select(['on_date as onDate', 'pump_id as pumpId', 'words'])
    .where('on_date', '>=', fromOn)
    .where('on_date', '<=', toOn)
    .where(standing('no_turn_day'))
    .orderBy('on_date')
    .execute()
}

export async function addNoTurnDay(pen: Pen, day: NoTurnDay): Promise<string> {
  const row = { on_date: day.onDate, pump_id: day.pumpId, words: day.words }
  return appendEntry(pen, { kind: 'no-turn-day' }, { no_turn_day: [row] })
}
