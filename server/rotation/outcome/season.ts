import { extent } from 'd3-array'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { beyondEquals } from '../../../domain/rotation/outcome/made-good.ts'
import {
  breakdownM3ByWeek,
  type MissedVolume,
  type SettledMissed,
  settleMissed,
} from '../../../domain/rotation/outcome/missed.ts'
import { carriedOver, type MissedCause } from '../../../domain/rotation/rule/carry-over.ts'
import type { WeekRule } from '../../../domain/rotation/rule/types.ts'
import { countedFrom } from '../../../domain/rotation/share/season-days.ts'
import type { WeekClaim } from '../../../domain/rotation/week/inputs.ts'
import { toLitreM3 } from '../../../domain/units.ts'
import { weekStartOf } from '../../../domain/weeks.ts'
import { kept, lettingOthersIn } from '../../book/kept-answers.ts'
import { readAhead } from '../../book/register/together.ts'
import { standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { RotationAsks } from '../asks.ts'
import { onTheList } from '../published/amendment-store.ts'
import { publishedStarts } from '../published/store.ts'
import { sharingRuleOn } from '../rule/store.ts'
import { outcomesOf, saidOf } from './store.ts'
import { turnsStruck, unloggedTurns } from './waiting-store.ts'
import { weeksOfPlots } from './weeks-of-plots.ts'

/** The first day whose deliveries count for the season, as its weeks do. */
export async function seasonFrom(db: Database, group: Group): Promise<string> {
  return countedFrom({ ...group, weekStarts: await publishedStarts(db) })
}

/** The missed turns of the season before a week, and what became of each under the rule of its day. */
export async function settledMissed(
  db: Database,
  asks: RotationAsks,
  group: Group,
  weekStartOn: CalendarDate,
): Promise<SettledMissed> {
  const fromOn = await seasonFrom(db, group)
  const missed = (await missedOfSeason(db, group, weekStartOn)).filter(({ on }) => on <= group.seasonEndOn)
  const excused = missed.some(({ cause }) => cause === 'excused')
  const beyond = excused ? beyondEquals({ weeks: await weeksOfPlots(db, asks, { group, fromOn, missed }) }) : []
  return settleMissed({ missed, beyond, weekStartOn })
}

export async function breakdownsByWeek(db: Database, group: Group, weekStartOn: CalendarDate) {
  const missed = (await missedOfSeason(db, group, weekStartOn)).filter(({ on }) => on < weekStartOn)
  return breakdownM3ByWeek({ missed, weekOf: (on) => weekStartOf(on, group) })
}

/** What each plot may make good this week under a rule that looks at one week alone. */
export async function carryOverFor(
  db: Database,
  asks: RotationAsks,
  {
    group,
    weekStartOn,
    rule,
    claims,
  }: { group: Group; weekStartOn: CalendarDate; rule: WeekRule; claims: WeekClaim[] },
): Promise<Record<string, number>> {
  const { running } = await settledMissed(db, asks, group, weekStartOn)
  const carried = claims.flatMap(({ plotId, needM3 }) => {
    const missed = running.filter((turn) => turn.plotId === plotId)
    if (missed.length === 0) return []
    const { carryOverM3 } = carriedOver({
      missed: missed.map(({ on, cause, leftM3 }) => ({ on, cause, volumeM3: leftM3 })),
      terms: rule.carryOver,
      weekStartOn,
      needM3: needM3.likely,
    })
    return carryOverM3 > 0 ? [[plotId, carryOverM3] as const] : []
  })
  return Object.fromEntries(carried)
}

/** The missed turns of the whole season, and after its end of the weeks up to one: a week asks of both. */
async function missedOfSeason(db: Database, group: Group, weekStartOn: CalendarDate): Promise<MissedVolume[]> {
  const [, beforeOn] = extent([addDays(group.seasonEndOn, 1), weekStartOn])
  return missedVolumes(db, { fromOn: await seasonFrom(db, group), beforeOn: beforeOn! })
}

/** The turns of some days that were missed, each with what its plot went without and the terms of that day's rule. */
async function missedVolumes(db: Database, { fromOn, beforeOn }: Days): Promise<MissedVolume[]> {
  await lettingOthersIn()
  readAhead(
    db,
    turnsWithWord(db, { fromOn, beforeOn }),
    sharedInBreakdowns(db, { fromOn, beforeOn }),
    unloggedTurns(db, fromOn, beforeOn),
  )
  const missed = [
    ...(await turnsSaidMissed(db, { fromOn, beforeOn })),
    ...(await lostInBreakdowns(db, { fromOn, beforeOn })),
    ...(await lostToFaults(db, { fromOn, beforeOn })),
  ]
  const daysOf = new Map<string, number>()
  for (const { on } of missed) {
    if (!daysOf.has(on)) daysOf.set(on, (await sharingRuleOn(db, on))?.carryOver.excusedDays ?? 0)
  }
  return missed.map((turn) => ({ ...turn, excusedDays: daysOf.get(turn.on)! }))
}

type Missed = Omit<MissedVolume, 'excusedDays'>

interface Days {
  fromOn: CalendarDate
  beforeOn: CalendarDate
}

function turnsWithWord(db: Database, span: Days) {
  return db
    .selectFrom('turn')
    .select(['turn.id', 'turn.plotId', 'turn.onDate as on', 'turn.volumeM3'])
    .where('turn.onDate', '>=', span.fromOn)
    .where('turn.onDate', '<', span.beforeOn)
    .where('turn.plotId', 'is not', null)
    .select(({ exists, selectFrom }) =>
      exists(selectFrom('booking').select('entryId').whereRef('booking.turnId', '=', 'turn.id')).as('isBooked'),
    )
    .where(({ exists, selectFrom }) =>
      exists(selectFrom('turnOutcome').select('entryId').whereRef('turnOutcome.turnId', '=', 'turn.id')),
    )
    .where(standing('turn'))
    .where(onTheList)
}

/** A turn that was taken in part has missed only the rest. */
async function turnsSaidMissed(db: Database, span: Days): Promise<Missed[]> {
  const turns = await turnsWithWord(db, span).execute()
  const ids = turns.map((turn) => turn.id)
  const outcomes = await outcomesOf(db, ids)
  const logged = await loggedM3(db, ids)
  return turns.flatMap(({ id, plotId, on, volumeM3, isBooked }) => {
    const cause = saidOf(outcomes, id).missed?.cause as MissedCause | undefined
    if (cause === 'excused' && isBooked) return [] // The hours are simply open again.
    const restM3 = toLitreM3(volumeM3 - (logged.get(id) ?? 0))
    return cause && plotId && restM3 > 0 ? [{ plotId, on, cause, volumeM3: restM3 }] : []
  })
}

function sharedInBreakdowns(db: Database, span: Days) {
  return db
    .selectFrom('resharedTurn')
    .innerJoin('dayChange', 'dayChange.entryId', 'resharedTurn.dayChangeId')
    .select(['plotId', 'onDate as on', 'wasM3', 'nowM3'])
    .where('dayChange.kind', '=', 'down')
    .where('onDate', '>=', span.fromOn)
    .where('onDate', '<', span.beforeOn)
    .where(standing('resharedTurn'))
}

/** What a turn lost when its pump stood still and the rest of the day was shared anew. */
async function lostInBreakdowns(db: Database, span: Days): Promise<Missed[]> {
  const rows = await sharedInBreakdowns(db, span).execute()
  return rows
    .map(({ plotId, on, wasM3, nowM3 }) => ({ plotId, on, volumeM3: toLitreM3(wasM3 - nowM3) }))
    .filter(({ volumeM3 }) => volumeM3 > 0)
    .map((lost): Missed => ({ ...lost, cause: 'breakdown' }))
}

/** What turns lost on the whole days on which a fault stopped their pump or outlet, where nobody has said more of them. */
async function lostToFaults(db: Database, { fromOn, beforeOn }: Days) {
  const struck = await turnsStruck(db, fromOn, beforeOn)
  return struck.flatMap(({ plotId, on, volumeM3 }): Missed[] =>
    plotId === null ? [] : [{ plotId, on, volumeM3, cause: 'breakdown' }],
  )
}

/** What was logged for each of some turns; a nought is no water. */
export async function loggedM3(db: Database, turnIds: readonly string[]): Promise<Map<string, number>> {
  if (turnIds.length === 0) return new Map()
  const rows = await kept(db, 'logged of turns', turnIds, () => loggedSums(db, turnIds).execute())
  return new Map(rows.filter(({ volumeM3 }) => volumeM3 > 0).map((row) => [row.turnId!, row.volumeM3]))
}

export function loggedSums(db: Database, turnIds: readonly string[]) {
  return db
    .selectFrom('abstraction')
    .select(({ fn }) => ['turnId', fn.sum<number>('volumeM3').as('volumeM3')])
    .where('turnId', 'in', turnIds as string[])
    .where(standing('abstraction'))
    .groupBy('turnId')
}
