import { daysBetween } from '../../../domain/calendar.ts'
import type { RootZoneDay } from '../../../domain/crops/root-zone/balance.ts'
import { toTenth } from '../../../domain/units.ts'

/** The root zone seen in section: its full height is the water that roots can draw, the line is how far it is drawn down. */
interface RootZonePicture {
  width: number
  height: number
  topY: number
  /** Depletion as lived through, and as it will be if nothing is added. */
  past: string
  ahead: string
  /** Water left below the line. */
  water: string
  /** Down to here it comes without stress. */
  readily: string
  floor: string
  todayX: number | null
  rain: Bar[]
  irrigation: Bar[]
  months: { x: number; date: string }[]
  /** The depth at the bottom of the picture and the most that came in on one day, mm. */
  deepestMm: number
  mostInMm: number
}

interface Bar {
  x: number
  y: number
  width: number
  height: number
}

const WIDTH = 640
const HEIGHT = 270
const SIDE = 8
const IN = { top: 16, bottom: 76 }
const ZONE = { top: 92, bottom: 244 }

export function rootZonePicture(past: readonly RootZoneDay[], ahead: readonly RootZoneDay[]): RootZonePicture | null {
  const days = [...past, ...ahead]
  const first = days[0]
  if (!first) return null
  const deepestMm = Math.max(...days.map((day) => day.totalAvailableMm))
  const mostInMm = Math.max(...past.map((day) => Math.max(day.creditedRainMm, day.irrigationMm)), 1)
  const perDay = (WIDTH - 2 * SIDE) / days.length
  const x = (day: RootZoneDay, at = 0.5) => toTenth(SIDE + (daysBetween(first.date, day.date) + at) * perDay)
  const y = (depthMm: number) => toTenth(ZONE.top + (depthMm / deepestMm) * (ZONE.bottom - ZONE.top))
  const line = (of: readonly RootZoneDay[], depth: (day: RootZoneDay) => number) =>
    of.map((day) => `${x(day)},${y(depth(day))}`).join(' ')
  const bars = (pick: (day: RootZoneDay) => number, at: number) =>
    past.flatMap((day): Bar[] => {
      const height = toTenth((pick(day) / mostInMm) * (IN.bottom - IN.top))
      return height > 0
        ? [{ x: x(day, at), y: toTenth(IN.bottom - height), width: toTenth(perDay * 0.45), height }]
        : []
    })
  const floor = line(days, (day) => day.totalAvailableMm)
  const drawn = line(days, (day) => day.depletionMm)
  return {
    width: WIDTH,
    height: HEIGHT,
    topY: ZONE.top,
    deepestMm,
    mostInMm,
    floor,
    past: line(past, (day) => day.depletionMm),
    ahead: line(past.length > 0 ? [past.at(-1)!, ...ahead] : ahead, (day) => day.depletionMm),
    water: `${drawn} ${floor.split(' ').reverse().join(' ')}`,
    readily: line(days, (day) => day.readilyAvailableMm),
    todayX: ahead[0] ? x(ahead[0], 0) : null,
    rain: bars((day) => day.creditedRainMm, 0.02),
    irrigation: bars((day) => day.irrigationMm, 0.5),
    months: days.flatMap((day) => (day.date.endsWith('-01') ? [{ x: x(day, 0), date: day.date }] : [])),
  }
}
