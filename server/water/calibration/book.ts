import type { CalendarDate } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import type { BalanceStretch } from '../../../domain/water/balance/stretches.ts'
import type { CalibrationStretch } from '../../../domain/water/calibration/runs.ts'
import { readingDoubt } from '../../../domain/water/level.ts'
import type { Database } from '../../database/connection.ts'
import type { WaterAsks } from '../asks.ts'
import { seasonBalance } from '../balance/state.ts'
import { levelReadingOf, listReadings, type Reading } from '../level/store.ts'
import type { WeirSurvey } from '../sand/description.ts'
import type { WaterState } from '../storage/state.ts'

/** One stretch of the book between two settled readings. */
interface BookStretch extends CalibrationStretch {
  /** Of what was drawn, the part that people and animals took without a pump. */
  handDrawnM3: M3
  rainNotWritten: boolean
}

export interface SandBook {
  /** All under the present survey, oldest first. */
  stretches: BookStretch[]
  /** Days of readings that were passed over, because the pump ran or had stopped less than 8 hours before. */
  unsettledOn: CalendarDate[]
  /** Days of readings that were passed over, because nothing explains them and no second one has borne them out. */
  doubtedOn: CalendarDate[]
  /** What the pumps' meters showed, as times what their turns add up to; null where too few days were read. */
  meterTimes: number | null
}

/** What the season's book tells of one weir's sand: levels beside what was drawn, stretch by stretch. */
export async function sandBook(
  db: Database,
  asks: WaterAsks,
  {
    group,
    survey,
    on,
    doubts,
  }: {
    group: { seasonStartOn: CalendarDate; seasonEndOn: CalendarDate }
    survey: WeirSurvey
    on: CalendarDate
    doubts: WaterState['doubts']
  },
): Promise<SandBook> {
  const { weirId, surveyedOn } = survey
  const balance = await seasonBalance(db, asks, { group, on })
  const draws = balance.abstractions.filter((draw) => draw.weirId === weirId)
  const handDrawnM3 = ({ fromOn, toOn }: BalanceStretch) =>
    sum(
      draws.filter(
        (draw) => draw.pumpId === null && draw.use !== 'irrigation' && fromOn <= draw.onDate && draw.onDate < toOn,
      ),
      ({ volumeM3 }) => volumeM3,
    )
  const own = balance.weirs.find((one) => one.weir.id === weirId)?.stretches ?? []
  const stretches = own
    .filter((stretch) => stretch.fromOn >= surveyedOn)
    .map((stretch) => ({
      ...stretch,
      handDrawnM3: handDrawnM3(stretch),
      rainNotWritten: stretch.reasons.includes('rain-not-written'),
    }))
  const unsettledOn = unsettledDays(await listReadings(db, { weirId, fromOn: surveyedOn, toOn: on }))
  const doubtedOn = doubtedDays(doubts, surveyedOn)
  return {
    stretches: overUnsettled(stretches, [...unsettledOn, ...doubtedOn]),
    unsettledOn,
    doubtedOn,
    meterTimes: await asks.metersOverLog(db, weirId, { fromOn: surveyedOn, toOn: on }),
  }
}

/** Days whose reading was taken too soon after pumping; the first of a day is the one that the balance takes. */
export function unsettledDays(readings: readonly Reading[]): CalendarDate[] {
  const firsts = readings.filter((reading, at) => reading.readOn !== readings[at - 1]?.readOn)
  return firsts
    .filter((reading) => {
      const { reasons } = readingDoubt({ ...levelReadingOf(reading), ageDays: 0 })
      return reasons.includes('read-while-pumping') || reasons.includes('read-soon-after-pumping')
    })
    .map((reading) => reading.readOn)
}

/** Days of readings that nothing explains, under the present survey. */
export function doubtedDays(doubts: WaterState['doubts'], surveyedOn: CalendarDate): CalendarDate[] {
  return [...new Set(doubts.map(({ reading }) => reading.readOn))].filter((on) => on >= surveyedOn)
}

/** Joins the stretches on both sides of a reading that is passed over; one that hangs on it alone is left out. */
function overUnsettled(stretches: readonly BookStretch[], unsettledOn: readonly CalendarDate[]): BookStretch[] {
  const joined: BookStretch[] = []
  for (const stretch of stretches) {
    const last = joined.at(-1)
    if (last && last.toOn === stretch.fromOn && unsettledOn.includes(stretch.fromOn))
      joined.splice(-1, 1, join(last, stretch))
    else joined.push(stretch)
  }
  return joined.filter(({ fromOn, toOn }) => !unsettledOn.includes(fromOn) && !unsettledOn.includes(toOn))
}

function join(first: BookStretch, second: BookStretch): BookStretch {
  const both = (key: 'days' | 'drawnM3' | 'spilledM3' | 'leakFromAboveM3' | 'spillFromAboveM3' | 'handDrawnM3') =>
    first[key] + second[key]
  return {
    fromOn: first.fromOn,
    toOn: second.toOn,
    days: both('days'),
    kind: first.kind === 'dry' && second.kind === 'dry' ? 'dry' : 'wet',
    openingLevelM: first.openingLevelM,
    closingLevelM: second.closingLevelM,
    drawnM3: both('drawnM3'),
    spilledM3: both('spilledM3'),
    leakFromAboveM3: both('leakFromAboveM3'),
    spillFromAboveM3: both('spillFromAboveM3'),
    handDrawnM3: both('handDrawnM3'),
    rainNotWritten: first.rainNotWritten || second.rainNotWritten,
  }
}
