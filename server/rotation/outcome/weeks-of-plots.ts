import { rollup, sum } from 'd3-array'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { ruleOfWeek } from '../../../domain/rotation/draft/limits.ts'
import type { WeekOfPlot } from '../../../domain/rotation/outcome/made-good.ts'
import type { MissedVolume } from '../../../domain/rotation/outcome/missed.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { PlannedShare } from '../../../domain/rotation/week/planned-week.ts'
import type { M3 } from '../../../domain/units.ts'
import { type WeekRhythm, weekStartOf } from '../../../domain/weeks.ts'
import type { Database } from '../../database/connection.ts'
import type { RotationAsks } from '../asks.ts'
import { publishedWeeks } from '../published/store.ts'
import { openTurns } from './waiting-store.ts'

interface Span {
  group: Group
  fromOn: CalendarDate
  missed: readonly MissedVolume[]
}

/** Each plot's published weeks of the season: what it was due, what came or is still to come, and what it missed. */
export async function weeksOfPlots(db: Database, asks: RotationAsks, { group, fromOn, missed }: Span) {
  const { seasonEndOn: toOn } = group
  const delivered = await asks.deliveredByPlotAndWeek(db, { fromOn, toOn, rhythm: group })
  const open = byPlotAndWeek(await openTurns(db, fromOn, addDays(toOn, 1)), group)
  const ownFault = byPlotAndWeek(missed.filter(isOwnFault), group)
  const broken = byPlotAndWeek(
    missed.filter((turn) => !isOwnFault(turn)),
    group,
  )
  const weeks = (await publishedWeeks(db, { reaching: fromOn })).filter(({ weekStartOn }) => weekStartOn >= fromOn)
  return weeks.flatMap(({ weekStartOn, inputs, results }) =>
    results.shares.map((share): WeekOfPlot => {
      const at = (volumes: ReadonlyMap<CalendarDate, ReadonlyMap<string, M3>>) =>
        volumes.get(weekStartOn)?.get(share.plotId) ?? 0
      return {
        weekStartOn,
        plotId: share.plotId,
        pumpIds: pumpsOf(inputs, share),
        isProtected: share.isProtected,
        dueM3: Math.max(0, dueM3(inputs, share) - at(broken)),
        receivedM3: at(delivered) + at(open),
        missedM3: at(ownFault),
        makesGood: missed.some((turn) => turn.plotId === share.plotId && runsIn(turn, weekStartOn)),
      }
    }),
  )
}

function isOwnFault({ cause }: MissedVolume): boolean {
  return cause !== 'breakdown'
}

/** An excused turn is made good in weeks that begin after it and within its days. */
function runsIn({ cause, on, excusedDays }: MissedVolume, weekStartOn: CalendarDate): boolean {
  return cause === 'excused' && on < weekStartOn && weekStartOn <= addDays(on, excusedDays)
}

function pumpsOf({ plots, outlets }: Pick<WeekInputs, 'plots' | 'outlets'>, { plotId }: PlannedShare): string[] {
  const outletIds = plots.find((plot) => plot.id === plotId)?.outletIds ?? []
  return outlets.filter(({ id }) => outletIds.includes(id)).map(({ pumpId }) => pumpId)
}

/** Under a rule that looks at one week alone the level says nothing: what was asked for is what equals have in common. */
function dueM3(inputs: Pick<WeekInputs, 'choice'>, { weekEntitledM3, countedM3, requestedM3 }: PlannedShare): M3 {
  if (ruleOfWeek(inputs) === 'evening-out') return weekEntitledM3
  return Math.min(countedM3, requestedM3 ?? countedM3)
}

interface OnDay {
  on: CalendarDate
  plotId: string | null
  volumeM3: M3
}

function byPlotAndWeek(volumes: readonly OnDay[], rhythm: WeekRhythm) {
  return rollup(
    volumes.filter(({ plotId }) => plotId !== null),
    (rows) => sum(rows, ({ volumeM3 }) => volumeM3),
    ({ on }) => weekStartOf(on, rhythm),
    ({ plotId }) => plotId!,
  )
}
