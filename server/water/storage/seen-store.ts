import { addDays, type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { readingDoubt } from '../../../domain/water/level.ts'
import type { SeenStretch } from '../../../domain/water/path/loss-rise.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { drainableStorageM3 } from '../../../domain/water/sand/storage.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { Reading } from '../level/store.ts'

/** Readings older than this say nothing of the last four dry weeks. */
const DAYS_LOOKED_BACK = 60

export interface DrawnDay {
  weirId: Id<'weir'>
  onDate: string
  use: string
  volumeM3: M3
}

/** What the log says was drawn, from a day on up to another, both included. */
export async function drawnBetween(db: Database, fromOn: CalendarDate, toOn: CalendarDate): Promise<DrawnDay[]> {
  return db
    .selectFrom('abstraction')
    .select(['weirId', 'onDate', 'use', 'volumeM3'])
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', toOn)
    .where(standing('abstraction'))
    .execute()
}

/** Logged draws and rain of the last weeks, beside which the readings are laid. */
export interface SeenBook {
  drawn: DrawnDay[]
  /** Days with more rain than the group's mark. */
  wetDays: CalendarDate[]
}

export async function seenBook(
  db: Database,
  { on, rainMarkMm }: { on: CalendarDate; rainMarkMm: number },
): Promise<SeenBook> {
  const fromOn = addDays(on, -DAYS_LOOKED_BACK)
  const wet = await db
    .selectFrom('weatherDay')
    .select('onDate')
    .where('onDate', '>=', fromOn)
    .where('onDate', '<=', on)
    .where('rainMm', '>', rainMarkMm)
    .where(standing('weatherDay'))
    .execute()
  return { drawn: await drawnBetween(db, fromOn, on), wetDays: wet.map((day) => day.onDate) }
}

interface OfWeir {
  on: CalendarDate
  body: SandBody
  /** Of one weir, oldest first. */
  readings: readonly Reading[]
  dailyDrinkingM3: M3
  book: SeenBook
}

/** The last weeks of one weir between readings at which the water stood still: wet by flow, rain or a full weir, else dry. */
export function seenStretches({ on, body, readings, dailyDrinkingM3, book }: OfWeir): SeenStretch[] {
  const settled = readings.filter((reading, at) => {
    const isFirst = reading.readOn !== readings[at - 1]?.readOn
    return (
      isFirst && reading.waterLevelM !== null && reading.readOn >= addDays(on, -DAYS_LOOKED_BACK) && isCalm(reading)
    )
  })
  return settled.slice(1).map((closing, at) => {
    const opening = settled[at]!
    const [fromOn, toOn] = [opening.readOn, closing.readOn]
    const isWithin = (day: CalendarDate) => fromOn <= day && day < toOn
    const days = daysBetween(fromOn, toOn)
    const [before, after] = [opening, closing].map(({ waterLevelM }) =>
      drainableStorageM3({ body, waterLevelM: waterLevelM! }),
    ) as [Stored, Stored]
    const isWet = opening.flowSeen || closing.flowSeen || book.wetDays.some(isWithin)
    return {
      kind: before.aboveCrest || after.aboveCrest ? 'not-reckoned' : isWet ? 'wet' : 'dry',
      fromOn,
      toOn,
      days,
      openingM3: before.likelyM3,
      closingM3: after.likelyM3,
      closingLevelM: closing.waterLevelM!,
      drawnM3: forCropsM3(book, closing.weirId, isWithin) + dailyDrinkingM3 * days,
    }
  })
}

type Stored = ReturnType<typeof drainableStorageM3>

function isCalm(reading: Reading): boolean {
  const { readAt, hoursSincePumping } = reading
  const readHour = Number(readAt.slice(0, 2)) + Number(readAt.slice(3, 5)) / 60
  const { reasons } = readingDoubt({ readHour, hoursSincePumping, ageDays: 0 })
  return !reasons.includes('read-while-pumping') && !reasons.includes('read-soon-after-pumping')
}

/** What people drink is taken from their count, since few write every jerrycan. */
function forCropsM3({ drawn }: SeenBook, weirId: Id<'weir'>, isWithin: (day: CalendarDate) => boolean): number {
  const forCrops = drawn.filter(
    (draw) => draw.weirId === weirId && draw.use !== 'drinking' && draw.use !== 'stock' && isWithin(draw.onDate),
  )
  return sum(forCrops, ({ volumeM3 }) => volumeM3)
}
