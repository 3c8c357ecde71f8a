import type { Group } from '../../../domain/people/group.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { MINUTES_PER_DAY } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import { weekPumps } from '../pump-flow/week.ts'
import type { DayChange, NewDayChange } from './store.ts'

type Change = Pick<NewDayChange, 'on' | 'pumpId' | 'kind' | 'fromMinute' | 'untilMinute'>

/** The week with what its pumps still give on a day after everything that was written of it, by whole hours. */
export async function afterChanges(
  db: Database,
  { group, inputs, changes }: { group: Group; inputs: WeekInputs; changes: readonly DayChange[] },
): Promise<WeekInputs> {
  let pumps = inputs.pumps
  for (const change of changes) {
    const under = await flowUnder(db, group, change)
    pumps = pumps.map((pump) => {
      if (pump.id !== change.pumpId) return pump
      const flow = (pump.flowM3PerHByDay[change.on] ?? []).map((planned, hour) =>
        isInHour(change, hour) ? Math.min(planned, under?.[hour] ?? 0) : planned,
      )
      return { ...pump, flowM3PerHByDay: { ...pump.flowM3PerHByDay, [change.on]: flow } }
    })
  }
  return { ...inputs, pumps }
}

/** What the pump usually gives under a worse sky; null while it stands still. */
export async function flowUnder(db: Database, group: Group, { kind, on, pumpId }: Change): Promise<number[] | null> {
  if (kind === 'down') return null
  const { pumps } = await weekPumps(db, group, [on], { [on]: kind })
  return pumps.find((pump) => pump.id === pumpId)?.flowM3PerHByDay[on] ?? []
}

/** An hour that a change reaches into counts as changed from its beginning. */
function isInHour({ kind, fromMinute, untilMinute }: Change, hour: number): boolean {
  if ((hour + 1) * 60 <= fromMinute) return false
  return kind !== 'down' || hour * 60 < (untilMinute ?? MINUTES_PER_DAY)
}
