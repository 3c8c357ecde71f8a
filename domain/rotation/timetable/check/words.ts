import { weekdayOf } from '../../../calendar.ts'
import type { PlannedTurn, TimetableInput, TimetableResult } from '../types.ts'
import type { TimetableProblem } from './problem.ts'

/** What a timetable says of itself, its burdens and its notes, must be true and complete. */
export function checkWords(input: TimetableInput, { turns, notes }: TimetableResult): TimetableProblem[] {
  const said = notes.map((note) => JSON.stringify(Object.values(note))).sort()
  const holding = [...lateTurns(input, turns), ...pumpsWithTailLast(input, turns)]
    .map((note) => JSON.stringify(note))
    .sort()
  const differing = [
    ...said.filter((note) => !holding.includes(note)),
    ...holding.filter((note) => !said.includes(note)),
  ]
  return [
    ...differing.map((note) => ({ code: 'note-untrue-or-missing', values: { note } })),
    ...turns
      .filter((turn) => burdens(input, turn, turns).join() !== turn.burdens.join())
      .map(({ id }) => ({ code: 'burdens-differ', values: { turnId: id } })),
  ]
}

/** The first turn of a claim is late when it comes after the latest day; those after it bring what is still to be used. */
function lateTurns({ allocations }: TimetableInput, turns: PlannedTurn[]): string[][] {
  return allocations.flatMap(({ claimId, outletId, latestOn }) => {
    const own = turns.filter((turn) => turn.claimId === claimId && turn.outletId === outletId)
    const [first] = own.toSorted((a, b) => (a.on < b.on ? -1 : 1))
    return first && latestOn && first.on > latestOn ? [['after-latest-day', first.id]] : []
  })
}

/** The tail's first turn of the week comes when the head has already finished. */
function pumpsWithTailLast({ allocations, outlets, pumps }: TimetableInput, turns: PlannedTurn[]): string[][] {
  return pumps.flatMap(({ id }) => {
    const own = new Set(outlets.filter(({ pumpId }) => pumpId === id).map((outlet) => outlet.id))
    const asked = allocations.filter(({ outletId, volumeM3 }) => own.has(outletId) && volumeM3 > 0)
    const position = new Map(asked.map((each) => [`${each.claimId} ${each.outletId}`, each.linePosition ?? 0]))
    const head = Math.min(...position.values())
    const tail = Math.max(...position.values())
    const at = (place: number) =>
      turns.filter((turn) => own.has(turn.outletId) && position.get(`${turn.claimId} ${turn.outletId}`) === place)
    const headEnds = at(head)
      .map(({ on, endMinute }) => `${on} ${String(endMinute).padStart(4, '0')}`)
      .sort()
    const tailStarts = at(tail)
      .map(({ on, startMinute }) => `${on} ${String(startMinute).padStart(4, '0')}`)
      .sort()
    const isLast = head !== tail && headEnds.length > 0 && tailStarts.length > 0 && tailStarts[0]! >= headEnds.at(-1)!
    return isLast ? [['tail-after-head', id]] : []
  })
}

function burdens({ rules }: TimetableInput, turn: PlannedTurn, turns: PlannedTurn[]): string[] {
  const { startMinute, endMinute } = turn
  const sameDay = turns.filter(({ pumpId, on }) => pumpId === turn.pumpId && on === turn.on)
  const noonMinutes = Array.from({ length: endMinute - startMinute }, (_, at) => startMinute + at).filter(
    (minute) => minute >= 720 && minute < 840,
  ).length
  const isLast = sameDay.length > 1 && sameDay.every(({ order }) => order <= turn.order)
  const borne: [string, boolean][] = [
    ['dawn', startMinute < 480],
    ['noon', noonMinutes >= 30],
    ['night', startMinute < 360 || endMinute > 1140],
    ['rest-weekday', (rules.burdenWeekdays ?? [7]).includes(weekdayOf(turn.on))],
    ['last', isLast],
  ]
  return borne.filter(([, is]) => is).map(([burden]) => burden)
}
