import type { Frame } from '../mark/types.ts'

const TEENS = Array.from({ length: 21 }, (_, at) => at)
const TENS = [30, 40, 50, 60, 70, 80, 90]
const ROUND = [100, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 2000, 3000, 4000, 5000, 6000, 7000, 8000, 9000]

type NumberClip = `n${number}` | 'thousand' | 'and' | 'half' | 'onlyHalf' | 'n100more'
const NUMBERS: readonly NumberClip[] = [
  ...[...TEENS, ...TENS, ...ROUND].map((value): NumberClip => `n${value}`),
  'n100more',
  'thousand',
  'and',
  'half',
  'onlyHalf',
]

type HourClip = `hour${number}`
const HOURS = Array.from({ length: 24 }, (_, hour): HourClip => `hour${hour}`)

/** Monday is the first day of a week, as in ISO 8601. */
type DayClip = `day${number}`
const DAYS = Array.from({ length: 7 }, (_, at): DayClip => `day${at + 1}`)

export const UNITS = [
  'jerrycan',
  'jerrycans',
  'cubicMetres',
  'minutes',
  'money',
  'smallMoney',
  'plot',
  'outlet',
  'weir',
] as const

export const PHRASES = [
  'yourTurn',
  'from',
  'until',
  'youGet',
  'stopFirst',
  'isOff',
  'cannotCome',
  'youHavePaid',
  'stillToPay',
  'nothingToPay',
  'paidAhead',
  'turnsOfWeek',
  'seasonReport',
  'about',
  'pumped',
  'byHand',
  'delivered',
  'unexplained',
  'holdsNow',
  'notKnown',
  'atHead',
  'atMiddle',
  'atTail',
  'ofHundredDue',
  'charged',
  'cameIn',
  'stillOwed',
  'paidOut',
] as const

const FRAMES: Record<Exclude<Frame, 'bare'>, string> = { ring: 'inRing', box: 'inBox', ground: 'onGround' }
type FrameClip = 'inRing' | 'inBox' | 'onGround'

export type PictureClip = `picture-${string}`
/** The name of somebody, by the person's id. */
export type NameClip = `name-${string}`

/** One recording of the book's voice, by what is said in it. */
export type ClipKey =
  | NumberClip
  | HourClip
  | DayClip
  | (typeof UNITS)[number]
  | (typeof PHRASES)[number]
  | FrameClip
  | PictureClip
  | NameClip

/** What somebody says once so that everything can be heard; beside it a clip for each picture that somebody goes by, and for whoever's name is to be heard. */
export const CLIPS = {
  phrases: PHRASES,
  days: DAYS,
  hours: HOURS,
  units: UNITS,
  numbers: NUMBERS,
  frames: Object.values(FRAMES) as readonly FrameClip[],
} satisfies Record<string, readonly ClipKey[]>

/** The clip of a frame; null for a bare picture, of which nothing is said. */
export function frameClip(frame: Frame): FrameClip | null {
  return frame === 'bare' ? null : (FRAMES[frame] as FrameClip)
}
