import { InputError } from '../../input-error.ts'
import { sum } from '../../sum.ts'
import { JERRYCANS_PER_M3, type M3, MINUTES_PER_DAY } from '../../units.ts'

interface OutletFlow {
  outletFlowM3PerH: number
  /** The pump's expected flow by clock hour; left out, the outlet gives its tested flow all the time. */
  pumpFlowM3PerHByHour?: number[]
  /** Minutes after midnight at which the valve opens. */
  startMinute?: number
}

/**
 * A volume as hours at an outlet and as jerrycans of 20 litres. An hour is no fixed quantity: the flow is the smaller
 * of the outlet's and the pump's in each hour. Hours are null when the day does not bring that much.
 */
export function volumeAtOutlet({ volumeM3, ...flow }: OutletFlow & { volumeM3: M3 }): {
  hours: number | null
  jerrycans: number
} {
  if (!(volumeM3 >= 0 && volumeM3 < Infinity)) throw new InputError('volume-impossible', { volumeM3 })
  return { hours: hoursFor(volumeM3, flow), jerrycans: volumeM3 * JERRYCANS_PER_M3 }
}

/** The volume that an outlet gives in some hours from its start, at most until midnight where the pump's hours count. */
export function hoursAtOutlet({ hours, ...flow }: OutletFlow & { hours: number }): {
  volumeM3: M3
  jerrycans: number
} {
  if (!(hours >= 0 && hours < Infinity)) throw new InputError('hours-impossible', { hours })
  const volumeM3 = flow.pumpFlowM3PerHByHour
    ? sum(stretches(flow), (part) => part.flowM3PerH * clip(hours - part.afterHours, part.hours))
    : hours * testedFlow(flow)
  return { volumeM3, jerrycans: volumeM3 * JERRYCANS_PER_M3 }
}

function hoursFor(volumeM3: M3, flow: OutletFlow): number | null {
  if (volumeM3 === 0) return 0
  if (!flow.pumpFlowM3PerHByHour) return testedFlow(flow) > 0 ? volumeM3 / testedFlow(flow) : null
  let restM3 = volumeM3
  for (const part of stretches(flow)) {
    const partM3 = part.flowM3PerH * part.hours
    if (partM3 >= restM3 * (1 - 1e-12)) return part.afterHours + restM3 / part.flowM3PerH
    restM3 -= partM3
  }
  return null
}

/** The clock hours from the start to midnight, the first one perhaps cut, each with the flow it gives. */
function stretches(flow: OutletFlow): { afterHours: number; hours: number; flowM3PerH: number }[] {
  const start = flow.startMinute ?? 0
  if (!(start >= 0 && start < MINUTES_PER_DAY)) throw new RangeError(`not a minute of the day: ${start}`)
  const outletM3PerH = testedFlow(flow)
  return (flow.pumpFlowM3PerHByHour ?? []).flatMap((pumpM3PerH, hour) => {
    const from = Math.max(hour, start / 60)
    if (from >= hour + 1) return []
    return [{ afterHours: from - start / 60, hours: hour + 1 - from, flowM3PerH: Math.min(outletM3PerH, pumpM3PerH) }]
  })
}

function testedFlow({ outletFlowM3PerH }: OutletFlow): number {
  if (!(outletFlowM3PerH >= 0 && outletFlowM3PerH < Infinity))
    throw new InputError('outlet-flow-impossible', { outletFlowM3PerH })
  return outletFlowM3PerH
}

function clip(value: number, most: number): number {
  return Math.min(most, Math.max(0, value))
}
