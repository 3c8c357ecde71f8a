import { sum } from '../../sum.ts'
import type { Id } from '../allocation/types.ts'

/** What of a pump's week a chamber can hold back. */
interface ChamberPump {
  weirId: Id
  flowM3PerHByDay: Record<string, number[]>
  /** What its chamber gives for hours on end, where that holds the pump back. */
  chamberM3PerH?: number
}

/**
 * Holds the pumps of a weir to what its collecting chamber can give for hours on end: in an hour in which they would
 * lift more together, each gets its part of the chamber's flow in proportion to what it would lift. A weir without a
 * refill test caps nothing. Source: continuity; the sustained flow comes from the refill test (see `chamberLimit`).
 */
export function cappedByChambers<Pump extends ChamberPump>({
  pumps,
  sustainedM3PerHByWeir,
}: {
  pumps: readonly Pump[]
  sustainedM3PerHByWeir: ReadonlyMap<Id, number>
}): (Pump & ChamberPump)[] {
  return pumps.map((pump) => {
    const sustained = sustainedM3PerHByWeir.get(pump.weirId)
    if (sustained === undefined) return pump
    if (!(sustained >= 0)) throw new RangeError(`a chamber cannot give ${sustained} m3/h`)
    const onSameChamber = pumps.filter((other) => other.weirId === pump.weirId)
    let isHeld = false
    const held = Object.entries(pump.flowM3PerHByDay).map(([day, flows]) => [
      day,
      flows.map((flow, hour) => {
        const together = sum(onSameChamber, (other) => other.flowM3PerHByDay[day]?.[hour] ?? 0)
        if (together <= sustained) return flow
        isHeld = true
        return (flow / together) * sustained
      }),
    ])
    return isHeld ? { ...pump, flowM3PerHByDay: Object.fromEntries(held), chamberM3PerH: sustained } : pump
  })
}
