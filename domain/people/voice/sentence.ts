import type { CalendarDate } from '../../calendar.ts'
import type { Minor } from '../../money/money.ts'
import type { Mark } from '../mark/pictures.ts'
import type { ClipKey } from './clips.ts'

/** What one place of a sentence says: from it come the words on the page and the clips that are heard. */
export type Piece =
  | { kind: 'clip'; clip: ClipKey }
  | { kind: 'number'; value: number }
  | { kind: 'clock'; minute: number }
  | { kind: 'day'; on: CalendarDate }
  | { kind: 'mark'; mark: Mark }
  | { kind: 'money'; minor: Minor }
  | { kind: 'name'; personId: string; name: string }

/**
 * One short sentence: `voice.say.<say>` of the catalogue gives the order of its places, which differs from language to language.
 * A place that has no piece is the phrase of its name.
 */
export interface Sentence {
  say: string
  pieces: Readonly<Record<string, Piece>>
}

/** A sentence of the catalogue with its pieces. */
export function sentence(say: string, pieces: Record<string, Piece> = {}): Sentence {
  return { say, pieces }
}

/** A place that is one recording. */
export const clip = (key: ClipKey): Piece => ({ kind: 'clip', clip: key })
/** A place that is a number; it is said where it is whole or a half. */
export const figure = (value: number): Piece => ({ kind: 'number', value })
/** A place that is a clock time, in minutes after midnight. */
export const clock = (minute: number): Piece => ({ kind: 'clock', minute })
/** A place that is a day of the week. */
export const day = (on: CalendarDate): Piece => ({ kind: 'day', on })
/** A place that is somebody’s mark. */
export const mark = (one: Mark): Piece => ({ kind: 'mark', mark: one })
/** A place that is an amount, in minor units of the group’s currency. */
export const money = (minor: Minor): Piece => ({ kind: 'money', minor })

/** One jerrycan and two jerrycans are two clips. */
export const cansOf = (count: number): Piece => clip(count === 1 ? 'jerrycan' : 'jerrycans')
/** A place that is somebody’s name. */
export const named = ({ id, name }: { id: string; name: string }): Piece => ({ kind: 'name', personId: id, name })
