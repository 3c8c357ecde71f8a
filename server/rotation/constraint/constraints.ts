import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { countsForSeason } from '../../../domain/rotation/share/season-days.ts'
import { addBurdens } from '../../../domain/rotation/timetable/burdens.ts'
import type { BurdenCounts } from '../../../domain/rotation/timetable/types.ts'
import type { WeekPump } from '../../../domain/rotation/week/inputs.ts'
import type { TurnFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { fallsOn, type WeekRhythm } from '../../../domain/weeks.ts'
import type { Database } from '../../database/connection.ts'
import type { Plot } from '../../people/plot/store.ts'
import { manualChanges } from '../manual-change/store.ts'
import { carriedTurns } from '../outcome/carried-turns.ts'
import { publishedWeeks } from '../published/store.ts'
import { weekPumps } from '../pump-flow/week.ts'
import { impossibleHours, wishedHours } from '../request/detail-store.ts'
import { weekLists } from '../turn-list/next.ts'
import { customHours } from './custom-store.ts'
import { noTurnHoursOn } from './hours-store.ts'
import { turnLengthsOn } from './length-store.ts'
import { fillingMinutesOn, linePositionsOn, notTogetherOn } from './line-store.ts'
import { officerPlots } from './officer-store.ts'

/** What a week's turns rest on besides its water, read as it holds in that week. */
export async function turnGround(
  db: Database,
  { group, days, plots, today }: { group: Group; days: readonly string[]; plots: readonly Plot[]; today: string },
): Promise<{ pumps: WeekPump[]; turnFacts: TurnFacts }> {
  const weekStartOn = days[0]!
  const { pumps, facts } = await weekPumps(db, group, days)
  const lists = await weekLists(db, { weekStartOn, today })
  const lengths = await turnLengthsOn(db, weekStartOn)
  const wished = await wishedHours(db, days, group)
  return {
    pumps,
    turnFacts: {
      pumps: facts,
      noTurnHours: [
        ...(await hoursOfPlots(db, days, plots, group)),
        ...(await customHours(db, { days, rhythm: group }, plots)),
        ...(await impossibleHours(db, days, group)),
      ],
      linePositions: await linePositionsOn(db, weekStartOn),
      notTogether: await notTogetherOn(db, weekStartOn),
      fillingMinutes: await fillingMinutesOn(db, weekStartOn),
      burdens: await burdensBefore(db, group, weekStartOn),
      officerPlotIds: await officerPlots(db, weekStartOn, plots),
      changes: await manualChanges(db, weekStartOn),
      ...(wished.length > 0 ? { wishedHours: wished } : {}),
      ...(lists.length > 0 ? { lists } : {}),
      ...(lengths ? { lengths } : {}),
    },
  }
}

/** A plot of several holders is open only when each of them can come. */
async function hoursOfPlots(
  db: Database,
  days: readonly string[],
  plots: readonly Plot[],
  rhythm: WeekRhythm,
): Promise<TurnFacts['noTurnHours']> {
  const hours = await noTurnHoursOn(db, days[0]!, days.at(-1)!)
  return plots.flatMap((plot) =>
    hours
      .filter((one) => plot.holders.some((holder) => holder.id === one.personId))
      .flatMap(({ fromOn, untilOn, fromHour, toHour, words, ...day }) =>
        days
          .filter((on) => on >= fromOn && on <= (untilOn ?? on) && fallsOn(on, day, rhythm))
          .map((on) => ({ plotId: plot.id, on, fromHour, toHour, words })),
      ),
  )
}

/** Hard hours of the season's published weeks before this one, where they were really carried or still stand. */
export async function burdensBefore(
  db: Database,
  group: Group,
  weekStartOn: CalendarDate,
): Promise<Record<string, BurdenCounts>> {
  const weeks = (await publishedWeeks(db, { reaching: group.seasonStartOn })).filter(
    (week) => week.weekStartOn < weekStartOn && countsForSeason({ ...group, weekStartOn: week.weekStartOn }),
  )
  const turns = await carriedTurns(db, weeks)
  return addBurdens({ history: {}, turns: turns.flat() })
}
