import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface NewSandLoss {
  weirId: Id<'weir'>
  fromOn: CalendarDate
  /** Below zero where the banks give water back. */
  lossCmPerDay: number
  words: string
}

export interface SandLoss extends NewSandLoss {
  entryId: string
  seq: number
}

export async function setSandLoss(pen: Pen, { weirId, fromOn, lossCmPerDay, words }: NewSandLoss): Promise<string> {
  const row = { weirId, fromOn, lossCmPerDay, words }
  return appendEntry(pen, { kind: 'sand-loss' }, { sandLoss: [row] })
}

const lossRows = readTogether('water', (db) =>
  db
    .selectFrom('sandLoss')
    .innerJoin('entry', 'entry.id', 'sandLoss.entryId')
    .selectAll('sandLoss')
    .select('entry.seq')
    .where(standing('sandLoss')),
)

export async function listSandLosses(db: Database, weirId?: Id<'weir'>): Promise<SandLoss[]> {
  const rows = (await lossRows(db)).filter((row) => weirId === undefined || row.weirId === weirId)
  return rows.map((row) => ({
    entryId: row.entryId,
    seq: row.seq,
    weirId: row.weirId,
    fromOn: row.fromOn,
    lossCmPerDay: row.lossCmPerDay,
    words: row.words,
  }))
}
