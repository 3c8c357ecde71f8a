import { PHASES } from './crops.ts'
import { type Outcome, type Policy, runSeason } from './season.ts'
import type { TrueSeason } from './valley.ts'

/** How a weir's crops are kept: the part of their full use in each phase, and how far the roots may dry where that is all of it. */
interface Keeping {
  partByPhase: number[]
  /** Of the readily available water: 0 keeps the roots full, 1 waters at the last moment. */
  dryTo: number
}

type Best = Keeping & { worth: number }

const STEPS = [0.3, 0.15, 0.07, 0.03, 0.015]

/**
 * A plan that knows the whole truth: soil, weather to come, sand and the day of the rain. Every plot is given each day just
 * what keeps it at its part of full use; all plots of a weir are kept at the same part, since a plan that starves some for
 * the others would be no share. The parts by phase and the dryness of the roots are found by running the true season over
 * and over, up and down in ever smaller steps, for the highest mean yield of which no day goes without drinking water.
 */
export function perfectKnowledge(season: TrueSeason): Policy {
  const best = season.weirs.map((): Best => ({ partByPhase: [0, 0, 0, 0], dryTo: 1, worth: -Infinity }))
  for (const part of [0, 0.2, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1])
    tryAll(season, best, () => ({ partByPhase: Array(PHASES).fill(part), dryTo: 1 }))
  for (const step of STEPS)
    for (let round = 0; round < 2; round++) for (const change of changes(step)) tryAll(season, best, change)
  return keeping(best)
}

function changes(step: number): ((from: Keeping) => Keeping)[] {
  const phases = [0, 1, 2, 3]
  const moved = (value: number, by: number) => Math.min(1, Math.max(0, value + by))
  const shift = (by: (phase: number) => number) => (from: Keeping) => ({
    ...from,
    partByPhase: from.partByPhase.map((part, phase) => moved(part, by(phase))),
  })
  const single = phases.flatMap((at) => [step, -step].map((by) => shift((phase) => (phase === at ? by : 0))))
  const traded = phases.flatMap((from) =>
    phases
      .filter((to) => to !== from)
      .map((to) => shift((phase) => (phase === to ? step : phase === from ? -step : 0))),
  )
  const roots = [step, -step].map((by) => (from: Keeping) => ({ ...from, dryTo: moved(from.dryTo, by) }))
  return [shift(() => step), shift(() => -step), ...single, ...traded, ...roots]
}

/** The weirs do not touch each other, so one run tries a change at each of them, and each keeps it where it gained. */
function tryAll(season: TrueSeason, best: Best[], change: (from: Keeping) => Keeping): void {
  const tried = best.map(change)
  worthOf(season, tried).forEach((worth, at) => {
    const { partByPhase, dryTo } = tried[at]!
    if (worth > best[at]!.worth + 1e-9) best[at] = { partByPhase, dryTo, worth }
  })
}

function worthOf(season: TrueSeason, weirs: readonly Keeping[]): number[] {
  const outcome: Outcome = runSeason(season, keeping(weirs))
  return weirs.map((_, weir) => {
    const yields = outcome.yields.filter((_, plot) => season.plots[plot]!.weir === weir)
    return yields.reduce((sum, one) => sum + one, 0) / yields.length - 10 * outcome.dryByWeir[weir]!
  })
}

function keeping(weirs: readonly Keeping[]): Policy {
  return ({ plots }) =>
    ({ day, depletionMm, today, season }, turnsM3) => {
      plots.forEach((plot, at) => {
        if (!today.standing[at] || season.absent[day * plots.length + at]) return
        const { partByPhase, dryTo } = weirs[plot.weir]!
        const part = partByPhase[today.phase[at]!]!
        const [total, readily] = [today.totalMm[at]!, today.readilyMm[at]!]
        const keptMm = part >= 1 ? dryTo * readily : total - part * (total - readily)
        const netMm = Math.max(0, depletionMm[at]! - keptMm)
        turnsM3[at] = (netMm * plot.areaM2) / 1000 / plot.efficiency
      })
    }
}
