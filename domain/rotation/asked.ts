import { JERRYCANS_PER_M3, toLitreM3 } from '../units.ts'

/** In what somebody says how much water is wished. */
export const ASKED_IN = ['m3', 'jerrycans', 'hours'] as const
type AskedIn = (typeof ASKED_IN)[number]

/**
 * What somebody asks for, in m3 to the litre: jerrycans of 20 litres, or hours at the tested flow of one outlet (m3 an hour),
 * as the watch beside the pipe counts them once water comes. Source: volume = flow x time.
 */
export function askedVolumeM3(asked: { amount: number; unit: AskedIn; flowM3PerH: number }): number {
  const { amount, unit, flowM3PerH } = asked
  return toLitreM3({ m3: amount, jerrycans: amount / JERRYCANS_PER_M3, hours: amount * flowM3PerH }[unit])
}

/** Hours that a volume takes at one outlet by its tested flow, m3 an hour, where the pump gives as much. */
export function hoursAt({ volumeM3, flowM3PerH }: { volumeM3: number; flowM3PerH: number }): number {
  return volumeM3 / flowM3PerH
}
