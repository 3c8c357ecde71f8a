import { DRINKING_FRONTIER } from '../../../domain/water/data/drinking-frontier.ts'
import { type WideSeason, type WideSummary, wideSeason } from './stores.ts'

/** The seasons from which the page about caution takes its figures; by these seeds nothing was chosen. */
export const frontierSeasons = (count: number): WideSeason[] =>
  Array.from({ length: count }, (_, at) => wideSeason(10000 + at))

type Row = (typeof DRINKING_FRONTIER.rows)[number]

/** A row as the page prints it. */
export function frontierRow(extraWeeks: number, summary: WideSummary): Row {
  const percent = (part: number) => Number((100 * part).toFixed(1))
  return {
    extraWeeks,
    harvestPercent: percent(summary.meanYield),
    dryIn100: percent(summary.dryBeforeRain),
    longDryIn100: percent(summary.dryBeyondFetching),
    onTimeIn100: percent(summary.dryOnTime),
    sixWeeksLateIn100: percent(summary.drySixWeeksLate),
  }
}

/** Where the page prints something else than was simulated, a line each. */
export function frontierMisses(rows: readonly Row[]): string[] {
  return rows.flatMap((row) => {
    const printed = DRINKING_FRONTIER.rows.find(({ extraWeeks }) => extraWeeks === row.extraWeeks)
    const [page, simulated] = [JSON.stringify(printed), JSON.stringify(row)]
    return page === simulated ? [] : [`printed on the page: ${page}, simulated: ${simulated}`]
  })
}
