import type { TakeRow, Typing } from './paper-books.ts'
import { pumpLogRows } from './paper-pump-log.ts'
import { tankDayOfInput } from './tank-day.ts'

export { TankDayForm } from './tank-day.ts'

/** The tank and trough sheet from paper: each row as the screen would have taken it. */
export async function tankRows(typing: Typing): Promise<TakeRow> {
  const take = await pumpLogRows(typing)
  const read = new Set<string>()
  return (body) => tankDayOfInput(body, { ...typing, take, read })
}
