import { sum } from '../../sum.ts'

/**
 * What a pump was to have given until a minute of the day, m3, by its expected flow in each clock hour (m3 an hour). What it
 * gave instead, as a part of this, is taken for the rest of the day too: a cloudy morning goes on as it is until somebody
 * writes again. Common practice, no source.
 */
export function expectedSoFarM3(flowM3PerHByHour: readonly number[], untilMinute: number): number {
  return sum(flowM3PerHByHour.map((flow, hour) => flow * Math.min(1, Math.max(0, untilMinute / 60 - hour))))
}
