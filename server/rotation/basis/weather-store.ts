import { group } from 'd3-array'
import { sql } from 'kysely'
import { sum } from '../../../domain/sum.ts'
import { standing } from '../../book/standing.ts'
import { change, isSince, type Since, type WrittenChange } from './written-change.ts'

/** Rain that a season's crops drink in about four days: less changes a week's needs little. Own choice, no source. */
const MUCH_RAIN_MM = 20

/** By the book that it stands in, how it is told where it took another's place and where it is much rain. */
const KINDS = { weather: ['weather-anew', 'rain'], gauge: ['gauge-anew', 'gauge-rain'] } as const

export function weatherWritten(since: Since) {
  const read = (book: 'weather' | 'gauge', table: 'weatherDay' | 'gaugeRain') =>
    since.db
      .selectFrom(table)
      .innerJoin('entry', 'entry.id', `${table}.entryId`)
      .select([sql.lit(book).as('book'), `${table}.entryId`, `${table}.onDate as on`, `${table}.rainMm`])
      .select(['entry.correctsId', 'entry.seq'])
      .where(isSince(since))
      .where(standing(table))
  return read('weather', 'weatherDay').unionAll(read('gauge', 'gaugeRain')).orderBy('seq')
}

/** Days of weather, and rain in gauges, that were written in the place of what stood there, and much rain written since, of either book. */
export async function weatherSince(since: Since): Promise<WrittenChange[]> {
  const rows = await weatherWritten(since).execute()
  return [...group(rows, ({ book }) => book)].flatMap(([book, days]) => {
    const lineOf = (what: WrittenChange['what'], own: typeof rows, is: number) => {
      const [entryId, ...earlierIds] = own.map((row) => row.entryId).toReversed()
      return change(what, {
        entryId: entryId!,
        earlierIds,
        plotId: null,
        on: own.at(-1)!.on,
        is,
        href: '/crops/weather',
      })
    }
    const [rewritten, rained] = KINDS[book]
    const anew = days.filter(({ correctsId }) => correctsId !== null)
    const wet = days.filter(({ rainMm }) => (rainMm ?? 0) > 0)
    const rainMm = sum(wet, (day) => day.rainMm ?? 0)
    return [
      ...(anew.length > 0 ? [lineOf(rewritten, anew, anew.length)] : []),
      ...(rainMm >= MUCH_RAIN_MM ? [lineOf(rained, wet, rainMm)] : []),
    ]
  })
}
