import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { WeekInputs, WeekPlot } from '../../../domain/rotation/week/inputs.ts'
import { daysOfWeek, previousWeekOn } from '../../../domain/weeks.ts'
import { kept } from '../../book/kept-answers.ts'
import { weeklyNeeds } from '../../crops/need/state.ts'
import type { Database } from '../../database/connection.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { listOutlets } from '../../works/pump/store.ts'
import type { RotationAsks } from '../asks.ts'
import { turnGround } from '../constraint/constraints.ts'
import { carryOverFor } from '../outcome/season.ts'
import { findPublishedWeek } from '../published/store.ts'
import { requestsFor } from '../request/store.ts'
import { planClassesOn } from '../rule/class-store.ts'
import { weekChoice } from '../rule/compare-store.ts'
import { declaredDrought } from '../rule/drought.ts'
import { householdsOn } from '../rule/household-store.ts'
import { sharingRuleOn } from '../rule/store.ts'
import { admittedClaims } from '../share/claims.ts'
import { pastWeeks, receivedSoFar } from '../share/history.ts'
import { withCover } from '../supply/cover.ts'
import { weekWeirs } from '../supply/weirs.ts'
import { weekTanks } from '../tank-turn/store.ts'
import { weekClosures } from './closures.ts'

/** Everything that a week is made of, read from the book as it stands on `today`; null while there is no sharing rule. */
export function weekInputs(db: Database, asks: RotationAsks, asked: Asked): Promise<WeekInputs | null> {
  return kept(db, 'week inputs', asked, () => readInputs(db, asks, asked))
}

interface Asked {
  group: Group
  weekStartOn: CalendarDate
  today: string
}

async function readInputs(
  db: Database,
  asks: RotationAsks,
  { group, weekStartOn, today }: Asked,
): Promise<WeekInputs | null> {
  const version = await sharingRuleOn(db, weekStartOn)
  if (!version) return null
  const { entryId: _, writtenAt: __, ...rule } = version
  const days = daysOfWeek(weekStartOn, group)
  const plots = await listPlots(db, weekStartOn)
  const persons = await householdsOn(db, weekStartOn)
  const { tanks, fed } = await weekTanks(db, { weekStartOn, today })
  const needs = await weeklyNeeds(db, { group, weekStartOn, today })
  const admitted = admittedClaims({
    rule,
    days,
    plots,
    needs,
    requests: await requestsFor(db, weekStartOn),
    planClasses: await planClassesOn(db, weekStartOn),
    lastGivenM3: await givenBefore(db, days, group),
  })
  const outlets = await testedOutlets(db, { weekStartOn, today }, fed)
  const missingRain = [...new Set(needs.flatMap((need) => need.missingRain))].sort()
  return {
    weekStartOn,
    days,
    rule,
    choice: await weekChoice(db, weekStartOn),
    drought: await declaredDrought(db, weekStartOn > today ? weekStartOn : today),
    weirs: await withCover(db, today, plots, await weekWeirs(db, asks, { group, weekStartOn, today, rule, needs })),
    ...(await turnGround(db, { group, days, plots, today })),
    outlets,
    ...(tanks.length > 0 ? { tanks } : {}),
    plots: plots.map((plot) => withTested(plotOf(plot, persons.get(plot.id)?.persons ?? 0), outlets)),
    ...admitted,
    ...(missingRain.length > 0 ? { missingRain } : {}),
    closures: await weekClosures(db, days, group),
    pastWeeks: await pastWeeks(db, group, weekStartOn, plots),
    ...(await receivedSoFar(db, asks, group, weekStartOn)),
    carryOverM3: await carryOverFor(db, asks, { group, weekStartOn, rule, claims: admitted.claims }),
  }
}

/**
 * By plot, what the week before gave in as many days, as it was planned, or what it needed where less was asked for it: a request holds for its
 * own week. Nothing where it was not published.
 */
async function givenBefore(db: Database, days: readonly CalendarDate[], group: Group): Promise<Map<string, number>> {
  const before = await findPublishedWeek(db, previousWeekOn(days[0]!, group))
  if (!before) return new Map()
  const part = days.length / before.inputs.days.length
  const claims = new Map(before.inputs.claims.map((claim) => [claim.plotId, claim]))
  return new Map(
    before.results.shares.map(({ plotId, allocatedM3 }) => {
      const { requestedM3 = null, needM3 } = claims.get(plotId) ?? {}
      const askedLess = requestedM3 !== null && needM3 !== undefined && requestedM3 < needM3.likely
      return [plotId, (askedLess ? needM3.likely : allocatedM3) * part]
    }),
  )
}

/** An outlet that nobody tested has no flow to lay turns by: its plots wait, and those that have another one use that. */
function withTested(plot: WeekPlot, outlets: readonly { id: string }[]): WeekPlot {
  return { ...plot, outletIds: plot.outletIds.filter((id) => outlets.some((outlet) => outlet.id === id)) }
}

/** Outlets with the flow of the week's first day; one that was tested for the first time since then with that of today. */
async function testedOutlets(
  db: Database,
  { weekStartOn, today }: Pick<Asked, 'weekStartOn' | 'today'>,
  fed: ReadonlyMap<string, string>,
): Promise<WeekInputs['outlets']> {
  const now = weekStartOn < today ? await listOutlets(db, today) : []
  return (await listOutlets(db, weekStartOn)).flatMap(({ id, number, name, pumpId, ...tested }) => {
    const flowM3PerH = tested.flowM3PerH ?? now.find((one) => one.id === id)?.flowM3PerH ?? null
    const tank = fed.has(id) ? { tankId: fed.get(id)! } : {}
    return flowM3PerH === null ? [] : [{ id, number, name, pumpId, flowM3PerH, ...tank }]
  })
}

function plotOf({ id, number, name, holders, areaM2, shares, outletIds }: Plot, persons: number): WeekPlot {
  return { id, number, name, holders: holders.map((holder) => holder.name), areaM2, shares, persons, outletIds }
}
