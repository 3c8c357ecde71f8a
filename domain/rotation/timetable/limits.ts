import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { type M3, wholeLitres } from '../../units.ts'
import type { TimetableInput, TimetableResult } from './types.ts'

export interface TimetableLimits {
  /** Pumps whose week is full, with what their turns carry: the most to share out among their outlets. */
  pumps: { pumpId: Id<'pump'>; weekM3: M3 }[]
  /** Tanks that give no more, with what their turns draw: the most to share out among their outlets. */
  tanks: { tankId: Id<'tank'>; weekM3: M3 }[]
  /** Claims that an outlet cannot serve further even alone, with the most it brings them. */
  claims: { claimId: string; outletId: Id<'outlet'>; mostM3: M3 }[]
}

/** What a timetable that could not place everything tells the next allocation, so that the cut is shared by the rule. */
export function timetableLimits({
  input,
  result,
}: {
  input: TimetableInput
  result: TimetableResult
}): TimetableLimits {
  const pumpOf = new Map(input.outlets.map(({ id, pumpId }) => [id, pumpId]))
  const full = result.unplacedM3
    .filter(({ reason }) => reason === 'pump-full')
    .map(({ outletId }) => pumpOf.get(outletId)!)
  const tankOf = new Map(input.outlets.map(({ id, tankId }) => [id, tankId]))
  const emptied = result.unplacedM3.flatMap(({ reason, outletId }) =>
    reason === 'tank-full' ? (tankOf.get(outletId) ?? []) : [],
  )
  const held = result.unplacedM3.filter(({ reason }) => reason !== 'pump-full' && reason !== 'tank-full')
  return {
    pumps: [...new Set(full)].sort().map((id) => ({
      pumpId: id,
      weekM3: sumM3(result.turns.filter(({ pumpId }) => pumpId === id)),
    })),
    tanks: [...new Set(emptied)].sort().map((id) => ({
      tankId: id,
      weekM3: sumM3(result.turns.filter(({ outletId }) => tankOf.get(outletId) === id)),
    })),
    claims: held.map(({ claimId, outletId }) => ({
      claimId,
      outletId,
      mostM3: sumM3(result.turns.filter((turn) => turn.claimId === claimId && turn.outletId === outletId)),
    })),
  }
}

/** Summed as whole litres, so that no rounding creeps in. */
function sumM3(turns: { volumeM3: M3 }[]): number {
  return sum(turns, ({ volumeM3 }) => wholeLitres(volumeM3)) / 1000
}
