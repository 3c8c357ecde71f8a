import type { Group } from '../../../domain/people/group.ts'
import type { WeekWeir } from '../../../domain/rotation/week/inputs.ts'
import type { Database } from '../../database/connection.ts'
import { releasableStates, waterStates } from '../../water/storage/state.ts'
import { shutWeirsOn } from '../../water/stream/state.ts'
import { takenBeforeWeek } from './taken.ts'

/** What each weir may give in the week, with the terms that it came from. */
export async function weekWeirs(
  db: Database,
  { group, weekStartOn, today }: { group: Group; weekStartOn: string; today: string },
): Promise<WeekWeir[]> {
  const states = await waterStates(db, { group, on: today })
  const shut = await shutWeirsOn(db, today)
  const takenM3ByWeir = await takenBeforeWeek(db, { states, weekStartOn, today })
  return releasableStates(states, { weekStartOn, group, takenM3ByWeir }).map(
    ({ weir, state, releasable, cannotSay }): WeekWeir => {
      const { id, number, name } = weir
      const drinkingM3 = (state.dailyDrinkingM3 ?? 0) * 7
      if (!releasable || state.storage.cannotSay || state.lateRainOn === null) {
        return { id, number, name, releasableM3: 0, drinkingM3, working: null, cannotSay }
      }
      const { releasableM3, availableM3, basis, reserveM3, weeksLeft, heldBy } = releasable
      const { grade, readOn } = state.storage
      // Below its mark a weir is shut for crops; people and animals drink all the same.
      const isShut = shut.includes(id)
      const takenM3 = takenM3ByWeir.get(id) ?? 0
      const terms = { availableM3, takenM3, basis, grade, readOn, reserveM3, lateRainOn: state.lateRainOn, weeksLeft }
      const working = { ...terms, heldBy: isShut ? 'shut' : heldBy }
      const givenM3 = isShut ? Math.min(releasableM3, drinkingM3) : releasableM3
      return { id, number, name, releasableM3: givenM3, drinkingM3, working, cannotSay: [] }
    },
  )
}
