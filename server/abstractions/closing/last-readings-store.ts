import { greatest, group } from 'd3-array'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { M3 } from '../../../domain/units.ts'
import { kept } from '../../book/kept-answers.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { pumpReadings } from '../../works/tank/store.ts'
import { listClosings } from './store.ts'

interface LastReading {
  pumpId: Id<'pump'>
  on: CalendarDate
  readingM3: M3
}

/** So far back a last reading is looked for: from before every book on. */
const LONG_AGO = '0001-01-01'

/** What the meter of each pump was last seen to show up to a day: at dawn, at a turn, at dusk or at a closing, whichever came last. */
export function lastMeterReadings(db: Database, on: CalendarDate): Promise<readonly LastReading[]> {
  return kept(db, 'last meter readings', on, () => readLastReadings(db, on))
}

async function readLastReadings(db: Database, on: CalendarDate): Promise<LastReading[]> {
  const rounds = await pumpReadings(db, { fromOn: LONG_AGO, toOn: on })
  const seen = [
    ...rounds.map(({ pumpId, on, atTime, reading }) => ({ pumpId, on, at: atTime, readingM3: reading })),
    ...(await readAtTurns(db, on)).map(({ at, ...draw }) => ({ ...draw, at: at ?? '' })),
    ...(await listClosings(db)).flatMap(({ pumpId, toOn, meterM3 }) =>
      meterM3 === null || toOn > on ? [] : [{ pumpId, on: toOn, at: END_OF_DAY, readingM3: meterM3 }],
    ),
  ]
  return [...group(seen, ({ pumpId }) => pumpId).values()].map((own) => {
    const { pumpId, on, readingM3 } = greatest(own, ({ on, at }) => `${on} ${at}`)!
    return { pumpId: pumpId as Id<'pump'>, on, readingM3 }
  })
}

const END_OF_DAY = '24:00'

async function readAtTurns(db: Database, toOn: CalendarDate) {
  const rows = await db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .select(['pumpId', 'onDate as on', 'endTime as at', 'closingM3 as readingM3'])
    .where(standing('abstraction'))
    .where('onDate', '<=', toOn)
    .orderBy(asWritten)
    .execute()
  return rows.flatMap(({ pumpId, on, at, readingM3 }) =>
    pumpId === null || readingM3 === null ? [] : [{ pumpId, on, at, readingM3 }],
  )
}
