import type { PlannedTurn } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'

interface HolderOverlap {
  holder: string
  first: PlannedTurn
  second: PlannedTurn
}

/** Two turns at the same time that the same person holds, whatever pumps, plots and outlets; nobody opens two valves at once. */
export function holderOverlaps({
  inputs,
  turns,
}: {
  inputs: Pick<WeekInputs, 'plots'>
  turns: readonly PlannedTurn[]
}): HolderOverlap[] {
  const holders = new Map(inputs.plots.map((plot) => [plot.id, plot.holders]))
  const inOrder = turns.toSorted((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : a.startMinute - b.startMinute))
  return inOrder.flatMap((first, at) =>
    inOrder
      .slice(at + 1)
      .filter((second) => second.on === first.on && second.startMinute < first.endMinute)
      .flatMap((second): HolderOverlap[] => {
        const others = holders.get(second.plotId) ?? []
        const both = (holders.get(first.plotId) ?? []).filter((name) => others.includes(name))
        return alone(both, holders.get(first.plotId) ?? [], others).map((holder) => ({ holder, first, second }))
      }),
  )
}

/** Where one of the two plots has somebody else who can open its valve, nobody is torn between them. */
function alone(both: readonly string[], ofFirst: readonly string[], ofSecond: readonly string[]): string[] {
  return ofFirst.length > 1 || ofSecond.length > 1 ? [] : [...both]
}
