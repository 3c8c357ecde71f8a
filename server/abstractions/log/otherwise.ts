import { DateTime } from 'luxon'
import { unsettledOf } from '../../rotation/outcome/settled-state.ts'
import type { PlannedTurn } from '../../rotation/published/listed-store.ts'
import { turnInBook } from '../../rotation/published/turn-store.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** What may be said of a turn that has begun and of which nobody has written anything, beside what was drawn. */
export async function otherwiseOf({ db, today, at, timeZone }: Desk, { id, onDate, startMinute }: PlannedTurn) {
  const clock = DateTime.fromJSDate(at, { zone: timeZone })
  const hasBegun = onDate < today || (onDate === today && startMinute <= clock.hour * 60 + clock.minute)
  const turn = hasBegun ? (await turnInBook(db, id))?.turn : undefined
  if (!turn || turn.droppedBy || !(await unsettledOf(db, [turn])).has(id)) return null
  return { turnId: id, causes: ['no-show', 'late', 'breakdown'] }
}
