import type { Group } from '../../../domain/people/group.ts'
import { weekFills } from '../../../domain/rotation/draft/tanks.ts'
import type { Database } from '../../database/connection.ts'
import { namedFills } from '../published/named-turn.ts'
import { plainTurn } from '../published/turn-store.ts'
import { afterChanges } from './flow.ts'
import type { ShownDay } from './lines.ts'

/** How the tanks are to be filled on a day as it stands: for the turns on the list, under what the day now brings. */
export async function dayFills(db: Database, { group, day }: { group: Group; day: ShownDay }) {
  if (!day.week?.inputs.tanks) return []
  const inputs = await afterChanges(db, { group, inputs: day.week.inputs, changes: day.changes })
  const standing = day.week.turns.filter((turn) => !turn.droppedBy)
  const { fills = [] } = weekFills(
    inputs,
    standing.map((turn) => ({ ...plainTurn(turn), id: turn.bookId })),
  )
  return namedFills(inputs, fills, day.on)
}
