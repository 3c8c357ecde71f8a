import { group } from 'd3-array'
import { readTogether } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

const slipRows = readTogether('odd', (db) => {
  const noted = db
    .selectFrom('drawNote')
    .innerJoin('abstraction', 'abstraction.entryId', 'drawNote.entryId')
    .select(['abstraction.entryId as id', 'turnId', 'slipNo'])
    .where('slipNo', 'is not', null)
    .where(standing('abstraction'))
  const back = db
    .selectFrom('drawSlip')
    .innerJoin('abstraction', 'abstraction.entryId', 'drawSlip.subjectId')
    .select(['abstraction.entryId as id', 'turnId', 'slipNo'])
    .where(standing('drawSlip'))
    .where(standing('abstraction'))
  return noted.unionAll(back)
})

/** Draws that carry the number of a slip which another draw carries too; the parts of one turn may share theirs. */
export async function slipsTwice(db: Database): Promise<Map<string, number>> {
  const bySlip = [...group(await slipRows(db), ({ slipNo }) => slipNo!)]
  const shared = bySlip.filter(([, draws]) => new Set(draws.map(({ id, turnId }) => turnId ?? id)).size > 1)
  return new Map(shared.flatMap(([slipNo, draws]) => draws.map(({ id }) => [id, slipNo] as const)))
}
