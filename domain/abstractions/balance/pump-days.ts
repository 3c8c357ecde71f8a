import { ascending } from 'd3-array'
import { addDays, type CalendarDate, datesFromTo } from '../../calendar.ts'
import type { M3 } from '../../units.ts'
import type { DawnOrDusk, MeterExchange } from '../../works/readings.ts'
import { measuredVolumeM3 } from '../draw/measured-volume.ts'

interface DayPassed {
  on: CalendarDate
  volumeM3: M3
  uncertaintyM3: M3
}

/**
 * What passed a pump's meter, m3: day by day from dawn to the next dawn, so that a night opening shows too; where the next dawn
 * was not read, to dusk; and where neither was, over all days up to the dawn at which it was read again, a week at most. A day
 * in no such stretch, or on which the meter ran back, is left out, and so is a stretch in which the meter was replaced twice.
 * `meterDigits` are those of the first meter; a new one counts by its own from its day on.
 */
export function pumpedOver({
  readings,
  meterDigits,
  readingStepM3,
  exchanges = [],
}: {
  readings: readonly DawnOrDusk[]
  meterDigits: number
  readingStepM3: M3
  exchanges?: readonly MeterExchange[]
}): (DayPassed & Stretch)[] {
  return stretchesOf(readings).flatMap(({ on, untilOn, toDusk, first, last }) => {
    const changed = exchanges.filter((one) => on <= one.on && one.on < untilOn)
    if (changed.length > 1) return []
    const earlier = exchanges.filter((one) => one.on < on).toSorted((a, b) => ascending(a.on, b.on))
    const meter = {
      method: 'meter' as const,
      openingM3: first,
      closingM3: last,
      readingStepM3,
      meterDigits: earlier.at(-1)?.newDigits ?? meterDigits,
      replacement: changed[0] && { ...changed[0], newMeterDigits: changed[0].newDigits },
    }
    const { volumeM3, uncertaintyM3 } = measuredVolumeM3(meter)
    return volumeM3 === null ? [] : [{ on, untilOn, toDusk, volumeM3, uncertaintyM3: uncertaintyM3! }]
  })
}

/** A stretch over which the meter was read, of one day or of the days until it was read again. */
export interface Stretch {
  on: CalendarDate
  /** The first day that is no longer part of it. */
  untilOn: CalendarDate
  /** Whether it ends at dusk of its only day. */
  toDusk: boolean
}

interface TankOver {
  readings: readonly DawnOrDusk[]
  areaM2: number
  heightM: number
  tankId: string
  stretches: readonly Stretch[]
}

interface TankRise extends DayPassed {
  /** One end's error leans the other way in the stretch beside it, so that it cancels in a sum. */
  toolId?: string
}

/**
 * The rise of a tank over the stretches of its pump's meter; a fall is negative. Readings are levels in metres. An end at which
 * it was not read counts as half full, give or take half: that is all that can be said, and it is said once for both sides
 * of the end. `unread` counts the stretches with such an end. Source: continuity; the half: the middle of all that can be.
 */
export function tankRises({ readings, areaM2, heightM, tankId, stretches }: TankOver): {
  rises: TankRise[]
  unread: number
} {
  const at = readingAt(readings)
  const halfM3 = (areaM2 * heightM) / 2
  let unread = 0
  const rises = stretches.flatMap((stretch): TankRise[] => {
    const { on } = stretch
    const [first, last] = [at(on, 'dawn'), stretch.toDusk ? at(on, 'dusk') : at(stretch.untilOn, 'dawn')]
    if (first !== undefined && last !== undefined) {
      const { volumeM3, uncertaintyM3 } = measuredVolumeM3({ method: 'tank', areaM2, riseM: last - first })
      return [{ on, volumeM3: volumeM3!, uncertaintyM3: uncertaintyM3! }]
    }
    unread += 1
    const volumeM3 = areaM2 * ((last ?? heightM / 2) - (first ?? heightM / 2))
    const end = stretch.toDusk ? `${on} dusk` : `${stretch.untilOn} dawn`
    return [
      { on, volumeM3, uncertaintyM3: 0 },
      ...(first === undefined
        ? [{ on, volumeM3: 0, uncertaintyM3: -halfM3, toolId: `tank ${tankId} ${on} dawn` }]
        : []),
      ...(last === undefined ? [{ on, volumeM3: 0, uncertaintyM3: halfM3, toolId: `tank ${tankId} ${end}` }] : []),
    ]
  })
  return { rises, unread }
}

function readingAt(readings: readonly DawnOrDusk[]) {
  const at = new Map(readings.map((one) => [`${one.on} ${one.moment}`, one.reading]))
  return (on: CalendarDate, moment: DawnOrDusk['moment']) => at.get(`${on} ${moment}`)
}

/** Longer than a week nobody can tell on which days the water passed. Own choice, no source. */
const MOST_DAYS = 7

/** From each dawn to the next dawn, else to dusk of the day, else to the dawn at which it was read again within a week. */
function stretchesOf(readings: readonly DawnOrDusk[]): (Stretch & { first: number; last: number })[] {
  const at = readingAt(readings)
  const found: (Stretch & { first: number; last: number })[] = []
  for (const on of [...new Set(readings.map((one) => one.on))].toSorted()) {
    const first = at(on, 'dawn')
    if (first === undefined) continue
    const dusk = at(on, 'dusk')
    const ends = dusk !== undefined && at(addDays(on, 1), 'dawn') === undefined ? [] : daysAfter(on)
    const untilOn = ends.find((day) => at(day, 'dawn') !== undefined)
    if (untilOn !== undefined) found.push({ on, untilOn, toDusk: false, first, last: at(untilOn, 'dawn')! })
    else if (dusk !== undefined) found.push({ on, untilOn: addDays(on, 1), toDusk: true, first, last: dusk })
  }
  return found
}

function daysAfter(on: CalendarDate): CalendarDate[] {
  return datesFromTo(addDays(on, 1), addDays(on, MOST_DAYS))
}
