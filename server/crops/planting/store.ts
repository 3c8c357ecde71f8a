import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The sides of a plot in order, and the diagonal that closes the first two. */
interface Taping {
  id: string
  plotId: Id<'plot'>
  tapedOn: CalendarDate
  sidesM: [number, number, number, number]
  diagonalM: number | null
}

export async function addTaping(pen: Pen, taping: Omit<Taping, 'id'>): Promise<string> {
  const [sideAM, sideBM, sideCM, sideDM] = taping.sidesM
  const row = {
    plotId: taping.plotId,
    tapedOn: taping.tapedOn,
    sideAM,
    sideBM,
    sideCM,
    sideDM,
    diagonalM: taping.diagonalM,
  }
  return appendEntry(pen, { kind: 'taping' }, { taping: [row] })
}

/** Every taping, the latest of each plot last. */
export async function tapings(db: Database): Promise<Taping[]> {
  const rows = await db
    .selectFrom('taping')
    .innerJoin('entry', 'entry.id', 'taping.entryId')
    .selectAll('taping')
    .where(standing('taping'))
    .orderBy('tapedOn')
    .orderBy(asWritten)
    .execute()
  return rows.map((row) => ({
    id: row.entryId,
    plotId: row.plotId,
    tapedOn: row.tapedOn,
    sidesM: [row.sideAM, row.sideBM, row.sideCM, row.sideDM],
    diagonalM: row.diagonalM,
  }))
}

/** The day on which the group looks at the level again before it releases the second tranche; the last written counts. */
export async function secondLookOn(db: Database, seasonStartOn: CalendarDate): Promise<string | null> {
  const row = await db
    .selectFrom('secondLook')
    .innerJoin('entry', 'entry.id', 'secondLook.entryId')
    .select('lookOn')
    .where('seasonStartOn', '=', seasonStartOn)
    .where(standing('secondLook'))
    .orderBy(asWritten, 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.lookOn ?? null
}

export async function setSecondLook(pen: Pen, seasonStartOn: CalendarDate, lookOn: CalendarDate): Promise<string> {
  const row = { seasonStartOn, lookOn }
  return appendEntry(pen, { kind: 'second-look' }, { secondLook: [row] })
}
