import { addDays, type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import type { Range } from '../../../domain/units.ts'
import { bucketFlow, type FloatGauging, floatFlow, type GaugedFlow } from '../../../domain/water/stream/gauging.ts'
import { type PermitUse, permitUse, permitYear, shareOfFlow } from '../../../domain/water/stream/share.ts'
import type { Database } from '../../database/connection.ts'
import { drawnBetween } from '../storage/seen-store.ts'
import { type WaterState, waterStates } from '../storage/state.ts'
import {
  type Gauging,
  listGaugings,
  NO_SHARE,
  type ShutMark,
  type StreamShare,
  shutMarksOn,
  streamShareOn,
} from './store.ts'

export type Gauged = GaugedFlow | FloatGauging

/** The flow of a written gauging; null where the section held no water. */
export function flowOf(gauging: Gauging): Gauged | null {
  const { method, seconds, lengthM, points, surfaceFactor, litres } = gauging
  if (method === 'bucket') return bucketFlow({ litres: litres!, seconds })
  const own = surfaceFactor === null ? {} : { surfaceFactor }
  return floatFlow({ lengthM: lengthM!, seconds, points, ...own })
}

interface ShutWeir {
  state: WaterState
  mark: ShutMark
  /** Null when the level is not known; then it stays shut too. */
  isBelow: boolean | null
}

const SHARE_DAYS = 7

interface StreamState {
  share: StreamShare
  isSet: boolean
  shut: ShutWeir[]
  permit: PermitUse | null
  gaugings: { gauging: Gauging; flow: Gauged | null }[]
  /** The mean of the week that ends with the last gauging, over the flow that was gauged. */
  flowShare: { gauging: Gauging; flow: Gauged; drawnM3PerDay: number; part: Range; ageDays: number } | null
}

export async function streamState(db: Database, on: CalendarDate): Promise<StreamState> {
  const found = await streamShareOn(db, on)
  const share = found ?? NO_SHARE
  const gaugings = (await listGaugings(db)).map((gauging) => ({ gauging, flow: flowOf(gauging) }))
  return {
    share,
    isSet: found !== null,
    shut: await shutWeirStates(db, on),
    permit: await permitOn(db, share, on),
    gaugings,
    flowShare: await shareOf(db, gaugings, on),
  }
}

/** The weirs that stay shut for crops on a day: below their mark, or with a mark and no known level. */
export async function shutWeirsOn(db: Database, on: CalendarDate): Promise<string[]> {
  return (await shutWeirStates(db, on)).flatMap(({ state, isBelow }) => (isBelow === false ? [] : [state.weir.id]))
}

async function shutWeirStates(db: Database, on: CalendarDate): Promise<ShutWeir[]> {
  const marks = await shutMarksOn(db, on)
  if (marks.size === 0) return []
  return (await waterStates(db, { on })).flatMap((state) => {
    const mark = marks.get(state.weir.id)
    if (!mark) return []
    const isBelow = state.storage.cannotSay ? null : state.storage.waterLevelM < mark.shutBelowLevelM!
    return [{ state, mark, isBelow }]
  })
}

/** Every draw in the log counts, drinking water too. */
async function permitOn(db: Database, share: StreamShare, today: CalendarDate): Promise<PermitUse | null> {
  const { permitM3, permitYearStart, warnPart } = share
  if (permitM3 === null || permitYearStart === null) return null
  const { fromOn } = permitYear({ startsOn: permitYearStart, on: today })
  const draws = (await drawnBetween(db, fromOn, today)).map(({ onDate, volumeM3 }) => ({ drawnOn: onDate, volumeM3 }))
  return permitUse({ limitM3: permitM3, warnPart, startsOn: permitYearStart, today, draws })
}

async function shareOf(
  db: Database,
  gaugings: StreamState['gaugings'],
  on: CalendarDate,
): Promise<StreamState['flowShare']> {
  const last = gaugings.find(({ gauging }) => gauging.onDate <= on)
  if (!last?.flow) return null
  const { gauging, flow } = last
  const drawn = await drawnBetween(db, addDays(gauging.onDate, 1 - SHARE_DAYS), gauging.onDate)
  const drawnM3PerDay = sum(drawn, ({ volumeM3 }) => volumeM3) / SHARE_DAYS
  const part = shareOfFlow({ drawnM3PerDay, flowM3PerH: flow.flowM3PerH })
  return part && { gauging, flow, drawnM3PerDay, part, ageDays: daysBetween(gauging.onDate, on) }
}
