import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import type { Database } from '../../database/connection.ts'
import { growsUntil, standsOn } from './ground.ts'
import { cropPlans } from './store.ts'

/** The most ground that crops of a plot take together on any one day from a day on, m2; 0 where nothing stands or is to be sown. */
export async function mostGroundFrom(db: Database, plotId: Id<'plot'>, fromOn: CalendarDate): Promise<number> {
  const own = (await cropPlans(db)).filter((plan) => {
    const untilOn = growsUntil(plan)
    return plan.plotId === plotId && (untilOn === null || untilOn >= fromOn)
  })
  // What stands together is most on the first day, or on one on which something more is sown.
  const days = [fromOn, ...own.map(({ sownOn }) => sownOn).filter((on) => on > fromOn)]
  const taken = days.map((on) =>
    sum(
      own.filter((plan) => standsOn(plan, on)),
      ({ areaM2 }) => areaM2,
    ),
  )
  return Math.max(...taken)
}
