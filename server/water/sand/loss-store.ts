import { appendEntry, type Pen } from '../../book/entries.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface NewSandLoss {
  weirId: string
  fromOn: string
  /** Below zero where the banks give water back. */
  lossCmPerDay: number
  words: string
}

interface SandLoss extends NewSandLoss {
  entryId: string
  seq: number
}

export async function setSandLoss(pen: Pen, { weirId, fromOn, lossCmPerDay, words }: NewSandLoss): Promise<string> {
  const row = { weir_id: weirId, from_on: fromOn, loss_cm_per_day: lossCmPerDay, words }
  return appendEntry(pen, { kind: 'sand-loss' }, { sand_loss: [row] })
}

export async function listSandLosses(db: Database, weirId?: string): Promise<SandLoss[]> {
  const rows = await db
    .selectFrom('sand_loss')
    .innerJoin('entry', 'entry.id', 'sand_loss.entry_id')
    .selectAll('sand_loss')
    .select('entry.seq')
    .where(standing('sand_loss'))
    .$if(weirId !== undefined, (query) => query.where('weir_id', '=', weirId!))
    .execute()
  return rows.map((row) => ({
    entryId: row.entry_id,
    seq: row.seq,
    weirId: row.weir_id,
    fromOn: row.from_on,
    lossCmPerDay: row.loss_cm_per_day,
    words: row.words,
  }))
}
