import { group } from 'd3-array'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** Draws that carry the number of a slip which another draw carries too; the parts of one turn may share theirs. */
export async function slipsTwice(db: Database): Promise<Map<string, number>> {
  const noted = await db
    .selectFrom('draw_note')
    .innerJoin('abstraction', 'abstraction.entry_id', 'draw_note.entry_id')
    .select(['abstraction.entry_id as id', 'turn_id as turnId', 'slip_no as slipNo'])
    .where('slip_no', 'is not', null)
    .where(standing('abstraction'))
    .execute()
  const back = await db
    .selectFrom('draw_slip')
    .innerJoin('abstraction', 'abstraction.entry_id', 'draw_slip.subject_id')
    .select(['abstraction.entry_id as id', 'turn_id as turnId', 'slip_no as slipNo'])
    .where(standing('draw_slip'))
    .where(standing('abstraction'))
    .execute()
  const bySlip = [...group([...noted, ...back], ({ slipNo }) => slipNo!)]
  const shared = bySlip.filter(([, draws]) => new Set(draws.map(({ id, turnId }) => turnId ?? id)).size > 1)
  return new Map(shared.flatMap(([slipNo, draws]) => draws.map(({ id }) => [id, slipNo] as const)))
}
