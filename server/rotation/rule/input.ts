import type { ProtectedPlot } from '../../../domain/rotation/rule/types.ts'

export interface ProtectedInput {
  protectedAlways: string | null
  protectedUntil: string | null
  untilStage: number | null
}

type ReadProtected =
  | { ok: true; protectedPlots: ProtectedPlot[] }
  | { ok: false; field: string; key: string; values: Record<string, string> }

/** The protected list as it is typed on paper and screen: numbers of plots, with commas or spaces between. */
export function plotsByNumber(
  { protectedAlways, protectedUntil, untilStage }: ProtectedInput,
  plots: readonly { id: string; number: number }[],
): ReadProtected {
  const protectedPlots: ProtectedPlot[] = []
  const lists = [
    { field: 'protectedAlways', typed: protectedAlways, upToStage: null },
    { field: 'protectedUntil', typed: protectedUntil, upToStage: untilStage },
  ]
  if (protectedUntil !== null && untilStage === null) {
    return { ok: false, field: 'untilStage', key: 'sharing-rule.rule.stage-missing', values: {} }
  }
  for (const { field, typed, upToStage } of lists) {
    for (const number of (typed ?? '').split(/[\s,;]+/).filter(Boolean)) {
      const plot = plots.find((one) => String(one.number) === number)
      if (!plot) return { ok: false, field, key: 'sharing-rule.rule.no-such-plot', values: { number } }
      if (protectedPlots.some((one) => one.plotId === plot.id)) {
        return { ok: false, field, key: 'sharing-rule.rule.plot-twice', values: { number } }
      }
      protectedPlots.push({ plotId: plot.id, upToStage })
    }
  }
  return { ok: true, protectedPlots }
}
