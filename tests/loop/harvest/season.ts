import type { Rest } from '../rest.ts'
import { levelM, lossM3PerDay } from '../sand.ts'
import { cropOn, PHASES, relativeYield } from './crops.ts'
import { SEASON_DAYS, type TrueSeason } from './valley.ts'

/** The valley on a morning. What a policy other than perfect knowledge may look at comes from `seen` functions alone. */
export interface Run {
  season: TrueSeason
  day: number
  storedM3: Float64Array
  depletionMm: Float64Array
  /** Written in the log, by day and plot, m3. */
  givenM3: Float64Array
  /** Of the present day, by plot: what its roots hold in all and readily, and what the crop would use unstressed. */
  today: {
    standing: Uint8Array
    phase: Uint8Array
    totalMm: Float64Array
    readilyMm: Float64Array
    fullMm: Float64Array
  }
  outcome: Sums
}

interface Sums {
  actualMm: Float64Array
  fullMm: Float64Array
  netGivenM3: number
  drainedM3: number
  stressedDays: number
  standingDays: number
  dryWeirDays: number
  dryByWeir: Int32Array
}

/** Asked every morning for the turns of the day, m3 by plot. */
export type Policy = (season: TrueSeason) => (run: Run, turnsM3: Float64Array) => void

export interface Outcome {
  yields: number[]
  drainedPart: number
  stressedPart: number
  dryWeirDays: number
  unusedPart: number
  dryByWeir: number[]
}

/** Runs one season in the true world: farmers water as they are told, on the days they come and as far as the pump gives. */
export function runSeason(season: TrueSeason, policy: Policy): Outcome {
  const run = startOf(season)
  const ask = policy(season)
  const turnsM3 = new Float64Array(season.plots.length)
  let unused = 0
  for (run.day = 0; run.day < SEASON_DAYS; run.day++) {
    if (run.day === season.onsetDay) unused = unusedPart(run)
    lookAtPlots(run)
    turnsM3.fill(0)
    if (run.day < season.onsetDay) {
      ask(run, turnsM3)
      drink(run)
      pump(run, turnsM3)
      lose(run)
    }
    season.plots.forEach((_, plot) => {
      growDay(run, plot, turnsM3[plot]!)
    })
  }
  return outcomeOf(run, unused)
}

function startOf(season: TrueSeason): Run {
  const plots = season.plots.length
  const sums: Sums = {
    actualMm: new Float64Array(plots * PHASES),
    fullMm: new Float64Array(plots * PHASES),
    netGivenM3: 0,
    drainedM3: 0,
    stressedDays: 0,
    standingDays: 0,
    dryWeirDays: 0,
    dryByWeir: new Int32Array(season.weirs.length),
  }
  return {
    season,
    day: 0,
    storedM3: Float64Array.from(season.weirs, (weir) => weir.startM3),
    depletionMm: new Float64Array(plots),
    givenM3: new Float64Array(SEASON_DAYS * plots),
    today: {
      standing: new Uint8Array(plots),
      phase: new Uint8Array(plots),
      totalMm: new Float64Array(plots),
      readilyMm: new Float64Array(plots),
      fullMm: new Float64Array(plots),
    },
    outcome: sums,
  }
}

/** Soil that the roots newly reach is somewhat dry; the depletion fraction is smaller on days of high use (FAO-56, Table 22). */
function lookAtPlots({ season, day, depletionMm, today }: Run): void {
  season.plots.forEach((plot, at) => {
    const on = cropOn(plot.crop, day - plot.sownDay)
    today.standing[at] = on ? 1 : 0
    if (!on) return
    const totalMm = on.rootM * plot.rootFactor * plot.availableMmPerM
    const sown = day === plot.sownDay
    const newMm = sown ? totalMm : Math.max(0, totalMm - today.totalMm[at]!)
    depletionMm[at] = (sown ? 0 : depletionMm[at]!) + newMm * plot.startDryPart
    const fullMm = on.kc * plot.useFactor * season.etoMm[day]!
    const fraction = Math.min(0.8, Math.max(0.1, plot.crop.depletionFraction + 0.04 * (5 - fullMm)))
    today.phase[at] = on.phase
    today.totalMm[at] = totalMm
    today.readilyMm[at] = fraction * totalMm
    today.fullMm[at] = fullMm
  })
}

/** People and animals come first; what the off-take no longer gives them is a day without. */
function drink({ season, storedM3, outcome }: Run): void {
  season.weirs.forEach((weir, at) => {
    const aboveM3 = Math.max(0, storedM3[at]! - weir.offTakeM3)
    if (aboveM3 < weir.drinkingM3PerDay) {
      outcome.dryWeirDays++
      outcome.dryByWeir[at]!++
    }
    storedM3[at]! -= Math.min(aboveM3, weir.drinkingM3PerDay)
  })
}

/** A cloudy day or a falling store cuts all turns of a weir's day alike; an absent farmer's turn falls out, and so does one before sowing. */
function pump({ season, day, storedM3, givenM3, today }: Run, turnsM3: Float64Array): void {
  const { weirs, plots, absent, pumpPart } = season
  const asked = new Float64Array(weirs.length)
  plots.forEach((plot, at) => {
    if (absent[day * plots.length + at] || !today.standing[at]) turnsM3[at] = 0
    asked[plot.weir]! += turnsM3[at]!
  })
  const givenPart = weirs.map((weir, at) => {
    const canM3 = Math.min(weir.pumpClearDayM3 * pumpPart[day]!, Math.max(0, storedM3[at]! - weir.offTakeM3))
    const takenM3 = Math.min(asked[at]!, canM3)
    storedM3[at]! -= takenM3
    return asked[at]! > 0 ? takenM3 / asked[at]! : 0
  })
  plots.forEach((plot, at) => {
    turnsM3[at]! *= givenPart[plot.weir]!
    givenM3[day * plots.length + at] = turnsM3[at]!
  })
}

/** Open water gives off 1.05 of the reference: FAO-56, Table 12, shallow water. */
function lose({ season, day, storedM3 }: Run): void {
  season.weirs.forEach(({ store }, at) => {
    const lossM3 = lossM3PerDay(store, levelM(store, storedM3[at]!), 1.05 * season.etoMm[day]!)
    storedM3[at] = Math.max(0, storedM3[at]! - lossM3)
  })
}

/** Water in the morning, use by day, rain at night, each draining at once what the roots cannot hold. FAO-56, equations 84 to 88. */
function growDay({ season, day, depletionMm, today, outcome }: Run, at: number, turnM3: number): void {
  const plot = season.plots[at]!
  if (!today.standing[at]) return
  const netMm = (turnM3 * 1000 * plot.efficiency) / plot.areaM2
  const [total, readily, full] = [today.totalMm[at]!, today.readilyMm[at]!, today.fullMm[at]!]
  let depletion = depletionMm[at]! - netMm
  outcome.netGivenM3 += turnM3 * plot.efficiency
  outcome.drainedM3 += (Math.max(0, -depletion) * plot.areaM2) / 1000
  depletion = Math.max(0, depletion)
  const afterOnset = day >= season.onsetDay
  const stress = afterOnset || depletion <= readily ? 1 : Math.max(0, (total - depletion) / (total - readily))
  const used = afterOnset ? full : Math.min(stress * full, total - depletion)
  const phase = today.phase[at]!
  outcome.actualMm[at * PHASES + phase]! += used
  outcome.fullMm[at * PHASES + phase]! += full
  outcome.standingDays++
  if (used < 0.97 * full) outcome.stressedDays++
  depletionMm[at] = afterOnset ? 0 : Math.max(0, depletion + used - soakedMm(season.rainMm[day]!))
}

/** A light shower wets the leaves only, and of a heavy rain a part runs off. Common practice, no source. */
function soakedMm(rainMm: number): number {
  return Math.max(0, Math.min(rainMm, 20) - 1) + 0.6 * Math.max(0, rainMm - 20)
}

function unusedPart({ season, storedM3 }: Run): number {
  let [left, start] = [0, 0]
  season.weirs.forEach(({ startM3, offTakeM3 }, at) => {
    left += Math.max(0, storedM3[at]! - offTakeM3)
    start += startM3 - offTakeM3
  })
  return left / start
}

function outcomeOf({ season, outcome }: Run, unused: number): Outcome {
  const { actualMm, fullMm, netGivenM3, drainedM3, stressedDays, standingDays, dryWeirDays, dryByWeir } = outcome
  return {
    yields: season.plots.map((plot, at) => relativeYield(plot.crop, actualMm, fullMm, at * PHASES)),
    drainedPart: netGivenM3 > 0 ? drainedM3 / netGivenM3 : 0,
    stressedPart: stressedDays / standingDays,
    dryWeirDays,
    unusedPart: unused,
    dryByWeir: [...dryByWeir],
  }
}

/** What the group reads at dawn of a week's first day, m above the bed. */
export function seenLevelM({ season, storedM3 }: Run, weir: number, week: number): number {
  const { store } = season.weirs[weir]!
  return levelM(store, storedM3[weir]!) + season.readingErrorM[week * season.weirs.length + weir]!
}

/** Rests measured by a week: five of two days before the season, then one of three days every fourth week. */
export function restsOf(run: Run, weir: number, week: number): Rest[] {
  if (week % 4 !== 0) return []
  const { season, storedM3, day } = run
  const { store, restErrorCm } = season.weirs[weir]!
  const atM = levelM(store, storedM3[weir]!)
  const lossM3 = lossM3PerDay(store, atM, 1.05 * season.usualEtoMm[day]!)
  const fallCm = 100 * (atM - levelM(store, storedM3[weir]! - lossM3))
  const atLevelM = seenLevelM(run, weir, week)
  if (week === 0) return restErrorCm.before.map((errorCm) => ({ days: 2, atLevelM, cmPerDay: fallCm + errorCm }))
  return [{ days: 3, atLevelM, cmPerDay: fallCm + restErrorCm.byRest[week / 4]! }]
}
