import { addDays } from '../../domain/calendar.ts'
import { addAbstraction, type NewAbstraction } from '../../server/abstractions/draw/store.ts'
import type { Pen } from '../../server/book/entries.ts'
import type { Database } from '../../server/database/connection.ts'
import { addLevelReading } from '../../server/water/level/store.ts'

export const SEASON_STARTS = '2026-06-04'

/** Writes straight into the book, as the first person in it. */
export async function writing<T>(
  db: Database,
  work: (pen: Pen) => Promise<T>,
  writtenAt = '2026-09-17T04:00:00.000Z',
): Promise<T> {
  const { entryId: writtenBy } = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  return db.transaction().execute((trx) => work({ trx, writtenBy, writtenAt }))
}

/** A reading at ten past six, with the pump off for so many hours. */
export async function writeLevel(pen: Pen, weirId: string, readOn: string, depthCm: number, hours = 12) {
  const happenedAt = `${readOn}T03:10:00.000Z`
  const pumpOffSinceAt = new Date(Date.parse(happenedAt) - hours * 3_600_000).toISOString()
  const about = { readAt: '06:10', readerId: null, pumpRunning: false, flowSeen: false, remark: null }
  await addLevelReading(pen, { weirId, readOn, happenedAt, depthCm, pumpOffSinceAt, ...about })
}

const BY_HAND: Omit<NewAbstraction, 'onDate' | 'weirId' | 'volumeM3'> = {
  ...{ use: 'irrigation', method: 'volume', grade: 'measured', uncertaintyM3: 0 },
  ...{ pumpId: null, outletId: null, plotId: null, turnId: null, takerId: null },
  ...{ openingM3: null, closingM3: null, hours: null, flowM3PerH: null, startTime: null, endTime: null, remark: null },
}

export async function writeDraw(pen: Pen, weirId: string, onDate: string, volumeM3: number, more = {}) {
  await addAbstraction(pen, { ...BY_HAND, ...more, weirId, onDate, volumeM3 })
}

/**
 * A dry season on a box-shaped weir 2 m deep with its mark half a metre above the crest, of which `m3PerM2` y² m3 drain
 * at y metres above the bed: dawn readings to the millimetre every so many days, the given volumes of each week drawn evenly,
 * and a daily loss.
 */
export async function liveSeason(
  db: Database,
  weirId: string,
  {
    m3PerM2,
    lossCmPerDay,
    weeksM3,
    readEvery = 1,
  }: { m3PerM2: number; lossCmPerDay: number; weeksM3: readonly number[]; readEvery?: number },
): Promise<void> {
  await writing(db, async (pen) => {
    let heightM = 1.9
    const read = (day: number) =>
      writeLevel(pen, weirId, addDays(SEASON_STARTS, day), Math.round((2.5 - heightM) * 1000) / 10)
    await read(0)
    for (let day = 0; day < 7 * weeksM3.length; day++) {
      const drawnM3 = weeksM3[Math.floor(day / 7)]! / 7
      heightM = Math.sqrt(heightM ** 2 - drawnM3 / m3PerM2) - lossCmPerDay / 100
      if (drawnM3 > 0) await writeDraw(pen, weirId, addDays(SEASON_STARTS, day), drawnM3)
      if ((day + 1) % readEvery === 0) await read(day + 1)
    }
  })
}
