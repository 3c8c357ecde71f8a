import { type Outcome, type Policy, runSeason } from './harvest/season.ts'
import { type Kind, trueSeason } from './harvest/valley.ts'

export const KINDS: readonly Kind[] = ['ample', 'tight', 'drought']

/** What a policy comes to over several seasons, as means of the seasons; parts are 0 to 1. */
export interface Summary {
  meanYield: number
  /** Of the worst plot of each season. */
  worstYield: number
  /** Of the yields, by season. */
  jain: number
  drainedPart: number
  stressedPart: number
  /** All seasons together. */
  dryWeirDays: number
  unusedPart: number
}

export const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length

/** Jain, Chiu and Hawe 1984: (sum x)^2 / (n sum x^2). */
function jain(values: readonly number[]): number {
  return (values.length * mean(values) ** 2) / values.reduce((sum, value) => sum + value * value, 0)
}

/** Runs a policy over the seasons of some seeds; a plan with perfect knowledge is made anew for each. */
export function judged(
  kind: Kind,
  seeds: readonly number[],
  policyOf: (season: ReturnType<typeof trueSeason>) => Policy,
) {
  return summaryOf(
    seeds.map((seed) => {
      const season = trueSeason(kind, seed)
      return runSeason(season, policyOf(season))
    }),
  )
}

export function summaryOf(outcomes: readonly Outcome[]): Summary {
  return {
    meanYield: mean(outcomes.map(({ yields }) => mean(yields))),
    worstYield: mean(outcomes.map(({ yields }) => Math.min(...yields))),
    jain: mean(outcomes.map(({ yields }) => jain(yields))),
    drainedPart: mean(outcomes.map((one) => one.drainedPart)),
    stressedPart: mean(outcomes.map((one) => one.stressedPart)),
    dryWeirDays: outcomes.reduce((sum, one) => sum + one.dryWeirDays, 0),
    unusedPart: mean(outcomes.map((one) => one.unusedPart)),
  }
}

export const HEADS = ['mean', 'worst', 'Jain', 'drained', 'stressed', 'dry days', 'unused']

export function rowOf(name: string, summary: Summary): string[] {
  const percent = (part: number) => (100 * part).toFixed(1)
  const { meanYield, worstYield, jain, drainedPart, stressedPart, dryWeirDays, unusedPart } = summary
  const parts = [drainedPart, stressedPart].map(percent)
  return [
    name,
    percent(meanYield),
    percent(worstYield),
    jain.toFixed(3),
    ...parts,
    String(dryWeirDays),
    percent(unusedPart),
  ]
}

/** As Markdown takes it, so that what was printed can stand in docs/methods.md; in one piece, since two benches may print. */
export function printTable(title: string, heads: readonly string[], rows: readonly string[][]): void {
  console.log([`\n${title}`, ...tableLines(heads, rows)].join('\n'))
}

function tableLines(heads: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const all = [heads, ...rows]
  const widths = heads.map((_, at) => Math.max(...all.map((row) => row[at]!.length)))
  const line = (row: readonly string[]) =>
    `| ${row.map((cell, at) => (at === 0 ? cell.padEnd(widths[at]!) : cell.padStart(widths[at]!))).join(' | ')} |`
  const rule = `| ${widths.map((width, at) => (at === 0 ? '-'.repeat(width) : `${'-'.repeat(width - 1)}:`)).join(' | ')} |`
  return [line(heads), rule, ...rows.map(line)]
}
