import { addDays, type CalendarDate } from '../../calendar.ts'
import type { M3 } from '../../units.ts'
import type { DawnOrDusk, MeterExchange } from '../../works/readings.ts'
import { measuredVolumeM3 } from '../draw/measured-volume.ts'

export interface DayPassed {
  on: CalendarDate
  volumeM3: M3
  uncertaintyM3: M3
}

/**
 * What passed a pump's meter, day by day: from dawn to the next dawn, so that a night opening shows too; where the next dawn was
 * not read, to dusk. A day without a dawn, or without an end, or on which the meter ran back, is left out, and so is one on
 * which the meter was replaced twice. `meterDigits` are those of the first meter; a new one counts by its own from its day on.
 */
export function pumpedByDay({
  readings,
  meterDigits,
  readingStepM3,
  exchanges = [],
}: {
  readings: readonly DawnOrDusk[]
  meterDigits: number
  readingStepM3: M3
  exchanges?: readonly MeterExchange[]
}): DayPassed[] {
  return dayEnds(readings).flatMap(({ on, first, last }) => {
    const changed = exchanges.filter((one) => one.on === on)
    if (changed.length > 1) return []
    const earlier = exchanges.filter((one) => one.on < on).toSorted((a, b) => (a.on < b.on ? -1 : 1))
    const meter = {
      method: 'meter' as const,
      openingM3: first,
      closingM3: last,
      readingStepM3,
      meterDigits: earlier.at(-1)?.newDigits ?? meterDigits,
      replacement: changed[0] && { ...changed[0], newMeterDigits: changed[0].newDigits },
    }
    const { volumeM3, uncertaintyM3 } = measuredVolumeM3(meter)
    return volumeM3 === null ? [] : [{ on, volumeM3, uncertaintyM3: uncertaintyM3! }]
  })
}

/** The rise of a tank over the same days; a fall is negative. Readings are levels in metres. */
export function tankRiseByDay({ readings, areaM2 }: { readings: readonly DawnOrDusk[]; areaM2: number }): DayPassed[] {
  return dayEnds(readings).map(({ on, first, last }) => {
    const { volumeM3, uncertaintyM3 } = measuredVolumeM3({ method: 'tank', areaM2, riseM: last - first })
    return { on, volumeM3: volumeM3!, uncertaintyM3: uncertaintyM3! }
  })
}

function dayEnds(readings: readonly DawnOrDusk[]): { on: CalendarDate; first: number; last: number }[] {
  const at = new Map(readings.map((one) => [`${one.on} ${one.moment}`, one.reading]))
  const days = [...new Set(readings.map(({ on }) => on))].toSorted()
  return days.flatMap((on) => {
    const first = at.get(`${on} dawn`)
    const last = at.get(`${addDays(on, 1)} dawn`) ?? at.get(`${on} dusk`)
    return first === undefined || last === undefined ? [] : [{ on, first, last }]
  })
}
