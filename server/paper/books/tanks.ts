import { tankDayOfInput } from '../../works/tank/day.ts'
import { pumpLogRows } from './pump-log.ts'
import type { TakeRow, Typing } from './types.ts'

export { TankDayForm } from '../../works/tank/day.ts'

/** The tank and trough sheet from paper: each row as the screen would have taken it. */
export async function tankRows(typing: Typing): Promise<TakeRow> {
  const take = await pumpLogRows(typing)
  const read = new Set<string>()
  return (body) => tankDayOfInput(body, { ...typing, take, read })
}
