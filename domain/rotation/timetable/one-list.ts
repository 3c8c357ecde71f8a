import { weekdayOf } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import { turnBurdens } from './burdens.ts'
import { compareText } from './pump-week.ts'
import type { PlannedTurn, TimetableInput, TimetableNote } from './types.ts'

/** Turns straight from a pump and turns from its tanks as one list a day, with their places and hard hours on it. */
export function asOneList({ rules }: Pick<TimetableInput, 'rules'>, turns: readonly PlannedTurn[]): PlannedTurn[] {
  const days = new Map<string, PlannedTurn[]>()
  for (const turn of turns) {
    const key = JSON.stringify([turn.pumpId, turn.on])
    days.set(key, [...(days.get(key) ?? []), turn])
  }
  return [...days.values()].flatMap((day) =>
    day
      .sort((a, b) => a.startMinute - b.startMinute || a.order - b.order || compareText(a.id, b.id))
      .map((turn, at) => {
        const { startMinute, endMinute } = turn
        const onBurdenWeekday = (rules.burdenWeekdays ?? [7]).includes(weekdayOf(turn.on))
        const isLast = at > 0 && at === day.length - 1
        return { ...turn, order: at + 1, burdens: turnBurdens({ startMinute, endMinute, onBurdenWeekday, isLast }) }
      }),
  )
}

/** The pump's tail, by whatever way it is served, waits until its head has finished. */
export function tailAfterHeadNote(
  { allocations, outlets }: Pick<TimetableInput, 'allocations' | 'outlets'>,
  pumpId: Id<'pump'>,
  turns: readonly PlannedTurn[],
): TimetableNote[] {
  const own = new Set(outlets.filter((outlet) => outlet.pumpId === pumpId).map(({ id }) => id))
  const asked = allocations.filter(({ outletId, volumeM3 }) => own.has(outletId) && volumeM3 > 0)
  const positionOf = new Map(asked.map((one) => [`${one.claimId} ${one.outletId}`, one.linePosition ?? 0]))
  const head = Math.min(...positionOf.values())
  const tail = Math.max(...positionOf.values())
  if (head === tail) return []
  let headEnds = ''
  let tailStarts = '~'
  for (const turn of turns.filter(({ outletId }) => own.has(outletId))) {
    const position = positionOf.get(`${turn.claimId} ${turn.outletId}`)
    const [starts, ends] = [turn.startMinute, turn.endMinute].map((at) => `${turn.on} ${String(at).padStart(4, '0')}`)
    if (position === head && ends! > headEnds) headEnds = ends!
    if (position === tail && starts! < tailStarts) tailStarts = starts!
  }
  const isSaid = headEnds !== '' && tailStarts !== '~' && tailStarts >= headEnds
  return isSaid ? [{ code: 'tail-after-head', pumpId }] : []
}
