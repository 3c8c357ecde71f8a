import type { Id } from '../../id.ts'
import { holds } from '../fairness/wishes-met.ts'
import type { ClosedHours, PlannedTurn } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'

export interface WishNotMet {
  plotId: Id<'plot'>
  wished: ClosedHours[]
  /** The plot's first turn of the week; null where it has none. */
  turn: PlannedTurn | null
}

/** The plots of which no whole turn lies in any hours that their holders wished for, in the order of the wishes. Common practice, no source. */
export function wishesNotMet({
  inputs: { turnFacts },
  turns,
}: {
  inputs: Pick<WeekInputs, 'turnFacts'>
  turns: readonly PlannedTurn[]
}): WishNotMet[] {
  const wishes = turnFacts?.wishedHours ?? []
  return [...new Set(wishes.map(({ plotId }) => plotId))].flatMap((plotId) => {
    const wished = wishes.filter((wish) => wish.plotId === plotId)
    const own = turns
      .filter((turn) => turn.plotId === plotId)
      .toSorted((a, b) => a.on.localeCompare(b.on) || a.startMinute - b.startMinute)
    const isMet = wished.some(({ on, fromHour = 0, toHour = 24 }) =>
      own.some((turn) => holds({ weekday: null, ...(on ? { on } : {}), fromHour, toHour }, turn)),
    )
    return isMet ? [] : [{ plotId, wished, turn: own[0] ?? null }]
  })
}
