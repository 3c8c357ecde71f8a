import { DateTime } from 'luxon'
import { plotsOfOwnHousehold } from '../../people/plot/own-household-state.ts'
import { unsettledOf } from '../../rotation/outcome/settled-state.ts'
import type { PlannedTurn } from '../../rotation/published/listed-store.ts'
import type { BookedTurn } from '../../rotation/published/turn-store.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** What may be said of a turn that has begun and of which nobody has written anything, beside what was drawn. */
export async function otherwiseOf(desk: Desk, { id, onDate, startMinute }: PlannedTurn, turn: BookedTurn | undefined) {
  const { db, today, at, timeZone } = desk
  const clock = DateTime.fromJSDate(at, { zone: timeZone })
  const hasBegun = onDate < today || (onDate === today && startMinute <= clock.hour * 60 + clock.minute)
  if (!hasBegun || !turn || turn.droppedBy || !(await unsettledOf(db, [turn])).has(id)) return null
  const isOwn = (await plotsOfOwnHousehold(desk, onDate)).has(turn.plotId ?? '')
  return { turnId: id, causes: ['no-show', 'late', ...(isOwn ? [] : ['breakdown'])] }
}
