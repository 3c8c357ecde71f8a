import { DateTime } from 'luxon'
import { listPlots } from '../../people/plot/store.ts'
import { unsettledOf } from '../../rotation/outcome/settled-state.ts'
import type { PlannedTurn } from '../../rotation/published/listed-store.ts'
import type { BookedTurn } from '../../rotation/published/turn-store.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** What may be said of a turn that has begun and of which nobody has written anything, beside what was drawn. */
export async function otherwiseOf(desk: Desk, { id, onDate, startMinute }: PlannedTurn, turn: BookedTurn | undefined) {
  const { db, today, at, timeZone, person } = desk
  const clock = DateTime.fromJSDate(at, { zone: timeZone })
  const hasBegun = onDate < today || (onDate === today && startMinute <= clock.hour * 60 + clock.minute)
  if (!hasBegun || !turn || turn.droppedBy || !(await unsettledOf(db, [turn])).has(id)) return null
  // Of an own turn somebody else says that it was lost in common; what the household's others hold is refused when it is sent.
  const plot = (await listPlots(db, onDate)).find((one) => one.id === turn.plotId)
  const isOwn = plot?.holders.some((holder) => holder.id === person.id)
  return { turnId: id, causes: ['no-show', ...(isOwn ? [] : ['breakdown'])] }
}
