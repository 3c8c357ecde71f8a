/** Bare, or with a ring or a box round it, or a line of ground under it: the same picture in four frames is four marks. */
export const FRAMES = ['bare', 'ring', 'box', 'ground'] as const
export type Frame = (typeof FRAMES)[number]

/** How large a picture stands in a frame (a part of its own size) and how far it is moved, on a sheet of 32 by 32. */
type Place = readonly [scale: number, right: number, down: number]

export interface Picture {
  key: string
  place: Readonly<Record<Frame, Place>>
  /** Filled shapes with a line of 1 round them, round joins, holes where outlines cross evenly. */
  paths: readonly string[]
}

/** How somebody asked whose mark another person writes in: standing there, by a message, or at a meeting. */
export const MARK_ASKED = ['present', 'message', 'meeting'] as const
export type MarkAsked = (typeof MARK_ASKED)[number]
