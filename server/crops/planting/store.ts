import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** The sides of a plot in order, and the diagonal that closes the first two. */
interface Taping {
  id: string
  plotId: string
  tapedOn: string
  sidesM: [number, number, number, number]
  diagonalM: number | null
}

export async function addTaping(pen: Pen, taping: Omit<Taping, 'id'>): Promise<string> {
  const [side_a_m, side_b_m, side_c_m, side_d_m] = taping.sidesM
  const row = {
    plot_id: taping.plotId,
    taped_on: taping.tapedOn,
    side_a_m,
    side_b_m,
    side_c_m,
    side_d_m,
    diagonal_m: taping.diagonalM,
  }
  return appendEntry(pen, { kind: 'taping' }, { taping: [row] })
}

/** Every taping, the latest of each plot last. */
export async function tapings(db: Database): Promise<Taping[]> {
  const rows = await db
    .selectFrom('taping')
    .innerJoin('entry', 'entry.id', 'taping.entry_id')
    .selectAll('taping')
    .where(standing('taping'))
    .orderBy('taped_on')
    .orderBy('entry.seq')
    .execute()
  return rows.map((row) => ({
    id: row.entry_id,
    plotId: row.plot_id,
    tapedOn: row.taped_on,
    sidesM: [row.side_a_m, row.side_b_m, row.side_c_m, row.side_d_m],
    diagonalM: row.diagonal_m,
  }))
}

/** The day on which the group looks at the level again before it releases the second tranche; the last written counts. */
export async function secondLookOn(db: Database, seasonStartOn: string): Promise<string | null> {
  const row = await db
    .selectFrom('second_look')
    .innerJoin('entry', 'entry.id', 'second_look.entry_id')
    .select('look_on')
    .where('season_start_on', '=', seasonStartOn)
    .where(standing('second_look'))
    .orderBy('entry.seq', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.look_on ?? null
}

export async function setSecondLook(pen: Pen, seasonStartOn: string, lookOn: string): Promise<string> {
  const row = { season_start_on: seasonStartOn, look_on: lookOn }
  return appendEntry(pen, { kind: 'second-look' }, { second_look: [row] })
}
