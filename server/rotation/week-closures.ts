import { weekdayOf } from '../../domain/calendar.ts'
import type { WeekInputs } from '../../domain/rotation/week-inputs.ts'
import type { Database } from '../database/connection.ts'
import { restDaysOn } from '../water/stream-state.ts'
import { noTurnDays } from './no-turn-store.ts'

/** Days of a week without turns: those that were written in, and the stream's own rest days. */
export async function weekClosures(db: Database, days: readonly string[]): Promise<WeekInputs['closures']> {
  const written = await noTurnDays(db, days[0]!, days.at(-1)!)
  const rest = await restDaysOn(db, days[0]!)
  return [
    ...written.map(({ onDate, pumpId, words }) => ({ on: onDate, pumpId, words })),
    ...days
      .filter((day) => rest.includes(weekdayOf(day)))
      .map((day) => ({ on: day, pumpId: null, words: '', isRestOfStream: true })),
  ]
}
