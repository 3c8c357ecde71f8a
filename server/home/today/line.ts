import type { Desk } from '../../web/pages/desk.ts'
import type { Now } from './now.ts'

/** One thing that is due, or that can be done: a picture, what, and one figure. */
export interface Line {
  picture: string
  words: string
  small?: string
  figure?: string
  href: string
  /** It stands before the own turn. */
  isPressing?: boolean
}

/** What is due for whoever has an office, the most urgent first, and what stands there while nothing is. */
export interface Due {
  lines: Line[]
  otherwise: Line
  /** What is well and asks for nothing; it stands apart from what is due. */
  apart?: Line
}

export type DueOf = (desk: Desk, now: Now) => Promise<Due>
