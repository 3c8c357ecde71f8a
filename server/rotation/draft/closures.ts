import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import type { WeekRhythm } from '../../../domain/weeks.ts'
import { standsOn } from '../../../domain/works/fault.ts'
import type { Database } from '../../database/connection.ts'
import { restDaysAmong } from '../../water/stream/rest-store.ts'
import { type Stopped, stoppedByFaults, strikes } from '../../works/fault/store.ts'
import { listPumps } from '../../works/pump/store.ts'
import { customDays } from '../constraint/custom-store.ts'
import { noTurnDays } from '../constraint/no-turn-store.ts'
import { pausesWritten, turnListOn } from '../turn-list/store.ts'

type Closure = WeekInputs['closures'][number]

/**
 * Days of a week without turns: those written in, the stream's own rest days, those that the group keeps free by custom, those on which a pump's
 * list is paused, and those on which a fault keeps something shut.
 */
export async function weekClosures(db: Database, days: readonly string[], rhythm: WeekRhythm): Promise<Closure[]> {
  const written = await noTurnDays(db, days[0]!, days.at(-1)!)
  const stopped = await stoppedByFaults(db)
  const paused = await listPauses(db, days)
  return [
    ...written.map(({ onDate, pumpId, words }) => ({ on: onDate, pumpId, words })),
    ...(await restClosures(db, days)),
    ...(await customDays(db, { days, rhythm })).map(({ on, words }) => ({ on, pumpId: null, words })),
    ...paused.flatMap(({ pumpId, fromOn, untilOn, cause, words }) =>
      days
        .filter((day) => fromOn <= day && day <= (untilOn ?? day))
        .map((day) => ({ on: day, pumpId, words: words ?? '', pause: cause })),
    ),
    ...stopped.flatMap((one) => days.filter((day) => standsOn(one, day)).map((day) => closureOf(one, day))),
  ]
}

/** The rest days of the stream, for the pumps of the weirs that rest. */
export async function restClosures(db: Database, days: readonly string[]): Promise<Closure[]> {
  const pumps = await listPumps(db, days[0]!)
  return (await restDaysAmong(db, days)).flatMap(({ on, weirIds, isAll, words }) => {
    const closure: Closure = { on, pumpId: null, words: words ?? '', isRestOfStream: true }
    const resting = pumps.filter((pump) => weirIds.includes(pump.weirId))
    return isAll ? [closure] : resting.map(({ id }) => ({ ...closure, pumpId: id }))
  })
}

/** A pause of the list stops the pump's turns, so that the list goes on at the next name; only where a list is in force. */
async function listPauses(db: Database, days: readonly string[]) {
  const pauses = await pausesWritten(db)
  const listed = await Promise.all(
    [...new Set(pauses.map((pause) => pause.pumpId))].map(async (id) =>
      (await turnListOn(db, id, days[0]!)) ? id : null,
    ),
  )
  return pauses.filter((pause) => listed.includes(pause.pumpId))
}

function closureOf({ fault }: Pick<Stopped, 'fault'>, on: string): Closure {
  const { firstId, pumpId, outletId, foundOn, what } = fault
  return { on, pumpId, ...(outletId ? { outletId } : {}), words: what, fault: { id: firstId, foundOn } }
}

/** A fault that keeps something shut on days of a published week for which it was not yet written in. */
export interface LateStandstill {
  fault: Stopped['fault']
  days: string[]
  /** The plates of the outlets that go without. */
  outletNumbers: number[]
  /** Those that hang on a tank of a stopped pump: their turns stand, as far as the tank carries. */
  gravityNumbers: number[]
}

export async function lateStandstills(
  db: Database,
  { days, closures, outlets }: WeekInputs,
): Promise<LateStandstill[]> {
  return (await stoppedByFaults(db)).flatMap((one) => {
    const known = closures.filter(({ fault }) => fault?.id === one.fault.firstId).map(({ on }) => on)
    const late = days.filter((day) => standsOn(one, day) && !known.includes(day))
    const struck = outlets.filter(({ id, pumpId }) => strikes(one, { pumpId, outletId: id }))
    const byGravity = outlets.filter(({ id, pumpId }) => one.fault.pumpId === pumpId && one.gravityOutletIds.has(id))
    const numbers = { outletNumbers: struck.map(numberOf), gravityNumbers: byGravity.map(numberOf) }
    return late.length > 0 ? [{ fault: one.fault, days: late, ...numbers }] : []
  })
}

function numberOf({ number }: { number: number }): number {
  return number
}

/** The closures of faults that came to light after a week was published, as a draft of it would have had them. */
export function lateClosures(late: readonly LateStandstill[]): Closure[] {
  return late.flatMap(({ fault, days }) => days.map((day) => closureOf({ fault }, day)))
}
