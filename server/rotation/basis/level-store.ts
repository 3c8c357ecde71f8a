import type { M3 } from '../../../domain/units.ts'
import { movesMuch } from '../../../domain/water/level.ts'
import { availableStorageM3 } from '../../../domain/water/sand/storage.ts'
import { listReadings, type Reading } from '../../water/level/store.ts'
import { type WaterState, waterStates } from '../../water/storage/state.ts'
import { change, type Since, type WrittenChange, wasSince } from './written-change.ts'

/**
 * Levels that say much more or less water than the one before them, each with what can be booked by either: one stick decides a whole
 * weir. Where several together say so and none alone, the line rests on all of them.
 */
export async function levelsSince(place: Since): Promise<WrittenChange[]> {
  const { db, today } = place
  const isAfter = wasSince(place)
  const readings = await listReadings(db, { toOn: today })
  return (await waterStates(db, { on: today })).flatMap((state) => {
    const ruling = readings.filter(({ id, weirId }) => weirId === state.weir.id && !isDoubted(state, id))
    const since = ruling.filter(isAfter)
    const before = ruling.findLast((reading) => !isAfter(reading))
    const last = since.at(-1)
    const steps = since.flatMap((reading) => lineOf(state, ruling[ruling.indexOf(reading) - 1], reading, []))
    if (steps.length > 0 || !last) return steps
    const earlierIds = since.slice(0, -1).map(({ id }) => id)
    return lineOf(state, before, last, earlierIds)
  })
}

function lineOf(
  state: WaterState,
  before: Reading | undefined,
  reading: Reading,
  earlierIds: string[],
): WrittenChange[] {
  const [was, is] = [bookableM3(state, before), bookableM3(state, reading)]
  if (was === null || is === null || !movesMuch({ wasM3: was, isM3: is })) return []
  const { id: entryId, readOn: on } = reading
  const { number: weir } = state.weir
  return [
    change('level', { entryId, earlierIds, plotId: null, on, was, is, weir, href: `/water/lines/level/${entryId}` }),
  ]
}

function isDoubted({ doubts }: WaterState, id: string): boolean {
  return doubts.some(({ reading }) => reading.id === id)
}

/** What a pump can draw at the level of a reading; null where nobody described the sand. */
function bookableM3({ body, offTakeLevelM }: WaterState, reading: Reading | undefined): M3 | null {
  if (!reading || !body || offTakeLevelM === null || reading.waterLevelM === null) return null
  return availableStorageM3({ body, waterLevelM: reading.waterLevelM, offTakeLevelM }).available.likelyM3
}
