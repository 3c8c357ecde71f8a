import { addDays, datesFromTo } from '../../../domain/calendar.ts'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import { drinkingClaimId, weekEntitlements } from '../../../domain/rotation/draft/claims.ts'
import { weekAllocationInput } from '../../../domain/rotation/draft/limits.ts'
import { plannedShares } from '../../../domain/rotation/draft/planned-shares.ts'
import { CLASSES_TOGETHER, type WeekRule } from '../../../domain/rotation/rule/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { PlannedWeek } from '../../../domain/rotation/week/planned-week.ts'
import { dateOf } from '../release.ts'
import type { Run } from './season.ts'
import { OPEN_DAYS } from './spacing.ts'
import type { TrueSeason } from './valley.ts'

/** What a release and a need come to for a week: m3 of each weir, drinking included, and m3 of each plot; null without a claim. */
export interface WeekTerms {
  releaseM3: readonly number[]
  needM3: readonly (number | null)[]
}

/** By what each lacks, with what each has had so far or without; or by ground. */
export type Sharing = 'by need' | 'by need, past weeks forgotten' | 'by ground'

/** Weeks so far, as the book would hold them. */
export interface SeasonSoFar {
  sharing?: Sharing
  pastWeeks: WeekInputs['pastWeeks']
}

const RULE: WeekRule = {
  fromOn: '2026-01-01',
  equalWeight: 0,
  areaWeight: 0,
  shareWeight: 0,
  personsWeight: 0,
  needWeight: 100,
  areaCapM2: null,
  admission: 'crop',
  byWeir: {},
  classes: CLASSES_TOGETHER,
  declaredOn: null,
  protectedPlots: [],
  sparePart: 0,
  carryOver: { excusedDays: 0, excusedCapPart: null },
}

/** The part of a clear day's water that a plan may count on. */
export const USUAL_PUMP_PART = 0.9

/** A week as the book holds it, as far as its volumes go. */
export interface SharedWeek {
  inputs: WeekInputs
  results: Pick<PlannedWeek, 'drinking' | 'shares'>
}

/** Shares the week by our own entitlements and allocation, as the week's page does. */
export function sharedWeek(run: Run, week: number, terms: WeekTerms, soFar: SeasonSoFar): SharedWeek {
  const inputs = weekInputs(run, week, terms, soFar)
  const entitled = weekEntitlements(inputs)
  soFar.pastWeeks.push({ weekStartOn: inputs.weekStartOn, entitledM3: Object.fromEntries(entitled) })
  const allocation = allocate(weekAllocationInput(inputs, { pumpM3: {}, claimM3: {} }))
  const given = new Map(allocation.claims.map((claim) => [claim.id, claim.allocatedM3]))
  const shares = plannedShares(inputs, { allocation, hoursM3: {}, unplaced: [] })
  const drinking = inputs.weirs.map(({ id, drinkingM3 }) => ({
    weirId: id,
    neededM3: drinkingM3,
    allocatedM3: given.get(drinkingClaimId(id)) ?? 0,
  }))
  return { inputs, results: { shares, drinking } }
}

/** The same, m3 by plot. */
export function sharedM3({ season }: Run, { results }: SharedWeek): number[] {
  const shares = new Map(results.shares.map((share) => [share.plotId, share.allocatedM3]))
  return season.plots.map((_, at) => shares.get(`plot-${at}`) ?? 0)
}

function weekInputs(run: Run, week: number, { releaseM3, needM3 }: WeekTerms, soFar: SeasonSoFar): WeekInputs {
  const { season } = run
  const { sharing = 'by need', pastWeeks } = soFar
  const forgets = sharing === 'by need, past weeks forgotten'
  const weekStartOn = dateOf(week * 7)
  const days = datesFromTo(weekStartOn, addDays(weekStartOn, 6))
  return {
    weekStartOn,
    days,
    rule: sharing === 'by ground' ? { ...RULE, needWeight: 0, areaWeight: 100 } : RULE,
    choice: null,
    drought: null,
    notAdmitted: [],
    carryOverM3: {},
    ...groundOf(season, days, releaseM3),
    claims: needM3.flatMap((volumeM3, at) =>
      volumeM3 === null
        ? []
        : [
            {
              plotId: `plot-${at}`,
              needM3: { low: volumeM3, likely: volumeM3, high: volumeM3 },
              requestedM3: null,
              latestOn: null,
              parts: [{ class: 'food', needM3: volumeM3, stageRank: null }],
            },
          ],
    ),
    closures: [{ on: days[OPEN_DAYS]!, pumpId: null, words: 'rest day' }],
    pastWeeks: forgets ? [] : [...pastWeeks],
    receivedM3: forgets ? {} : receivedSoFar(run),
  }
}

function groundOf({ weirs, plots }: TrueSeason, days: string[], releaseM3: readonly number[]) {
  const hourly = (dayM3: number) => Array.from({ length: 24 }, (_, hour) => (hour >= 8 && hour < 16 ? dayM3 / 8 : 0))
  return {
    weirs: weirs.map((weir, at) => ({
      id: `weir-${at}`,
      number: at + 1,
      name: '',
      working: null,
      cannotSay: [],
      releasableM3: releaseM3[at]!,
      drinkingM3: 7 * weir.drinkingM3PerDay,
    })),
    pumps: weirs.map(({ pumpClearDayM3 }, at) => ({
      id: `pump-${at}`,
      number: at + 1,
      name: '',
      weirId: `weir-${at}`,
      outletsAtOnce: 2,
      flowM3PerHByDay: Object.fromEntries(days.map((day) => [day, hourly(USUAL_PUMP_PART * pumpClearDayM3)])),
    })),
    outlets: plots.map(({ weir }, at) => ({
      id: `outlet-${at}`,
      number: at + 1,
      name: '',
      pumpId: `pump-${weir}`,
      flowM3PerH: 1000,
    })),
    plots: plots.map(({ areaM2 }, at) => ({
      id: `plot-${at}`,
      number: at + 1,
      name: '',
      holders: [],
      areaM2,
      shares: 1,
      persons: 5,
      outletIds: [`outlet-${at}`],
    })),
  }
}

function receivedSoFar({ season, day, givenM3 }: Run): Record<string, number> {
  const count = season.plots.length
  return Object.fromEntries(
    season.plots.map((_, at) => {
      let sumM3 = 0
      for (let past = 0; past < day; past++) sumM3 += givenM3[past * count + at]!
      return [`plot-${at}`, sumM3]
    }),
  )
}
