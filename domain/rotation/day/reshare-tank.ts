import { sum } from '../../sum.ts'
import { LITRES_PER_M3, type Litres, litresToM3, type M3, wholeLitres } from '../../units.ts'
import { allocate } from '../allocation/allocate.ts'
import { turnRules, weekTimetableInput } from '../draft/limits.ts'
import { tankWorksOf } from '../draft/tanks.ts'
import type { TimetableProblem } from '../timetable/check/problem.ts'
import { checkTanks } from '../timetable/check/tank.ts'
import { tankCourse } from '../timetable/tank/fills.ts'
import type { PlannedTurn } from '../timetable/types.ts'
import type { WeekInputs } from '../week/inputs.ts'
import { claimOf, type ResharedTurn } from './reshare.ts'
import type { ReshareInput } from './reshare-input.ts'

export interface TankReshareInput extends Pick<ReshareInput, 'results' | 'on' | 'weekM3ByPlot' | 'order'> {
  /** With what the pumps give on the day as it has become. */
  inputs: WeekInputs
  /** All turns that stand from the first day of `inputs.days` on, the direct ones of the day as they were shared anew. */
  turns: readonly PlannedTurn[]
  /** Gravity turns of the day that have not begun. */
  openIds: ReadonlySet<string>
}

/**
 * A day that brings less fills the tanks less, and their turns of that day with it: what is left is shared among the turns that
 * have not begun by the same level as the rest of a pump's day, litre by litre up to the most for which no turn finds the tank
 * below its mark. Times stay; a turn that gets less ends earlier. Turns of later days wait for their own filling.
 */
export function reshareTanks(input: TankReshareInput): ResharedTurn[] {
  return (input.inputs.tanks ?? []).flatMap(({ id }) => {
    const fed = new Set(input.inputs.outlets.filter(({ tankId }) => tankId === id).map((outlet) => outlet.id))
    const open = input.turns.filter(
      (turn) => turn.on === input.on && fed.has(turn.outletId) && input.openIds.has(turn.id),
    )
    return open.length === 0 || carries(input, open) ? [] : cut(input, open)
  })
}

function cut(input: TankReshareInput, open: readonly PlannedTurn[]): ResharedTurn[] {
  const wanted = Math.round(sum(open, ({ volumeM3 }) => volumeM3) * LITRES_PER_M3)
  let [most, beyond] = [0, wanted + 1]
  while (most + 1 < beyond) {
    const tried = Math.floor((most + beyond) / 2)
    if (carries(input, standing(shared(input, open, tried)))) most = tried
    else beyond = tried
  }
  return shared(input, open, most).filter(({ shortM3 }) => shortM3 > 0)
}

/** Whether the tank stands high enough for each of these turns, as they now are. */
function carries({ inputs, turns, openIds, on }: TankReshareInput, now: readonly PlannedTurn[]): boolean {
  const outletIds = new Set(now.map(({ outletId }) => outletId))
  const others = turns.filter((turn) => !(turn.on === on && openIds.has(turn.id) && outletIds.has(turn.outletId)))
  const { shortTurnIds } = tankCourse({ works: tankWorksOf(inputs), turns: [...others, ...now] })
  return now.every(({ id }) => !shortTurnIds.includes(id))
}

/** So many litres among the open turns: raised by the level, of two turns of a plot the earlier one first; or by the list. */
function shared(input: TankReshareInput, open: readonly PlannedTurn[], litres: Litres): ResharedTurn[] {
  if (input.order === 'queue') return byList(input, open, litres)
  const volumeM3 = litresToM3(litres)
  const claimed = open.map((turn) => ({ turn, restM3: turn.volumeM3, mostM3: turn.volumeM3 }))
  const { claims } = allocate({
    weirs: [{ id: 'tank', releasableM3: volumeM3 }],
    pumps: [{ id: 'tank', weirId: 'tank', weekM3: volumeM3 }],
    outlets: [...new Set(open.map(({ outletId }) => outletId))].map((id) => ({ id, pumpId: 'tank', weekM3: volumeM3 })),
    claims: [...new Set(open.map(({ plotId }) => plotId))].map((plotId) => claimOf(input, claimed, plotId)),
  })
  const left = new Map(claims.map(({ id, allocatedM3 }) => [id, wholeLitres(allocatedM3)]))
  return [...open]
    .sort((a, b) => a.startMinute - b.startMinute)
    .map((was) => {
      const given = Math.min(left.get(was.plotId) ?? 0, wholeLitres(was.volumeM3))
      left.set(was.plotId, (left.get(was.plotId) ?? 0) - given)
      return resharedTurn(input.inputs, was, litresToM3(given))
    })
}

function byList({ inputs }: TankReshareInput, open: readonly PlannedTurn[], litres: Litres): ResharedTurn[] {
  let left = litres
  return [...open]
    .sort((a, b) => a.startMinute - b.startMinute)
    .map((was) => {
      const given = Math.min(left, Math.round(was.volumeM3 * LITRES_PER_M3))
      left -= given
      return resharedTurn(inputs, was, litresToM3(given))
    })
}

function resharedTurn(inputs: WeekInputs, was: PlannedTurn, carriedM3: M3): ResharedTurn {
  const flowM3PerH = inputs.outlets.find(({ id }) => id === was.outletId)!.flowM3PerH
  const minutes = Math.max(turnRules(inputs).minTurnMinutes, Math.ceil((carriedM3 / flowM3PerH) * 60 - 1e-6))
  const endMinute = Math.min(was.endMinute, was.startMinute + minutes)
  const { startMinute } = was
  const now = carriedM3 > 0 ? { ...was, endMinute, volumeM3: carriedM3, hours: (endMinute - startMinute) / 60 } : null
  const shortM3 = Math.round((was.volumeM3 - carriedM3) * LITRES_PER_M3) / LITRES_PER_M3
  return { was, now, drawnM3: 0, drawnBy: null, stretch: now && { startMinute, endMinute }, carriedM3, shortM3 }
}

function standing(reshared: readonly ResharedTurn[]): PlannedTurn[] {
  return reshared.flatMap(({ now }) => now ?? [])
}

/** The judge of the tanks on the turns that were cut, from the raw inputs. */
export function checkReshareTanks(
  { inputs, turns }: TankReshareInput,
  reshared: readonly ResharedTurn[],
): TimetableProblem[] {
  const cutIds = new Set(reshared.map(({ was }) => was.id))
  const now = [...turns.filter(({ id }) => !cutIds.has(id)), ...standing(reshared)]
  const { fills } = tankCourse({ works: tankWorksOf(inputs), turns: now })
  const problems = checkTanks(weekTimetableInput(inputs, []), { turns: now, fills, unplacedM3: [], notes: [] })
  return problems.filter(({ values }) => values.turnId === undefined || cutIds.has(String(values.turnId)))
}
