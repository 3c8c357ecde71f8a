import type { Group } from '../../../domain/people/group.ts'
import { expectedSoFarM3 } from '../../../domain/rotation/day/given.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { MINUTES_PER_DAY } from '../../../domain/units.ts'
import type { Database } from '../../database/connection.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { PublishedShown } from '../published/turn-store.ts'
import { weekPumps } from '../pump-flow/week.ts'
import type { ShownDay } from './lines.ts'
import type { NewDayChange } from './store.ts'

type Change = Pick<NewDayChange, 'on' | 'pumpId' | 'kind' | 'fromMinute' | 'untilMinute' | 'given'>

/** The week with what its pumps still give on a day after everything that was written of it, by whole hours. */
export async function afterChanges(
  db: Database,
  { group, inputs, changes }: { group: Group; inputs: WeekInputs; changes: readonly Change[] },
): Promise<WeekInputs> {
  let pumps = inputs.pumps
  for (const change of changes) {
    const under = change.given ? null : await flowUnder(db, group, change)
    pumps = pumps.map((pump) => {
      if (pump.id !== change.pumpId) return pump
      const flow = (pump.flowM3PerHByDay[change.on] ?? []).map((planned, hour) =>
        change.given
          ? planned * partOf(change.given)
          : isInHour(change, hour)
            ? Math.min(planned, under?.[hour] ?? 0)
            : planned,
      )
      return { ...pump, flowM3PerHByDay: { ...pump.flowM3PerHByDay, [change.on]: flow } }
    })
  }
  return { ...inputs, pumps }
}

/** A pump that was read gives as much less all day as it gave until then. */
function partOf({ givenM3, expectedM3 }: NonNullable<Change['given']>): number {
  return givenM3 / expectedM3
}

/** What the pump usually gives under a worse sky; null while it stands still. */
export async function flowUnder(db: Database, group: Group, { kind, on, pumpId }: Change): Promise<number[] | null> {
  if (kind === 'down' || kind === 'given') return null
  const { pumps } = await weekPumps(db, group, [on], { [on]: kind })
  return pumps.find((pump) => pump.id === pumpId)?.flowM3PerHByDay[on] ?? []
}

/** An hour that a change reaches into counts as changed from its beginning. */
function isInHour({ kind, fromMinute, untilMinute }: Change, hour: number): boolean {
  if ((hour + 1) * 60 <= fromMinute) return false
  return kind !== 'down' || hour * 60 < (untilMinute ?? MINUTES_PER_DAY)
}

interface Wrong {
  field: string
  key: string
  values?: Values
}

interface Typed extends Pick<NewDayChange, 'pumpId' | 'kind' | 'fromMinute'> {
  day: ShownDay & { week: PublishedShown }
  gave: number | null
}

/** What the pump gave so far beside what it was to have given; null where nothing was typed. */
export async function givenSoFar(
  { db, group, format }: Desk,
  { day, pumpId, kind, gave, fromMinute }: Typed,
): Promise<NewDayChange['given'] | Wrong> {
  if (kind !== 'given') return gave === null ? null : { field: 'kind', key: 'day.gave-without-kind' }
  if (gave === null) return { field: 'gave', key: 'error.missing' }
  const changes = day.changes.filter((one) => one.pumpId === pumpId)
  const { pumps } = await afterChanges(db, { group, inputs: day.week.inputs, changes })
  const flow = pumps.find((pump) => pump.id === pumpId)?.flowM3PerHByDay[day.on] ?? []
  const expectedM3 = expectedSoFarM3(flow, fromMinute)
  const clock = format.clock(fromMinute)
  if (expectedM3 === 0) return { field: 'gave', key: 'day.gave-too-early', values: { clock } }
  return gave < expectedM3
    ? { givenM3: gave, expectedM3 }
    : { field: 'gave', key: 'day.gave-enough', values: { clock, expected: format.one(expectedM3) } }
}
