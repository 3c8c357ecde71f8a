import { randomInt, timingSafeEqual } from 'node:crypto'
import { hashOfKey } from '../password.ts'

/** Letters and digits that nobody takes for each other when they are read from a screen. */
const SIGNS = 'abcdefghjkmnpqrstuvwxyz23456789'
const GROUPS = 3
const SIGNS_IN_GROUP = 4

/** The code that is printed at the start: about sixty bits, in groups that are easily copied. */
export function newClaimCode(): string {
  const group = () => Array.from({ length: SIGNS_IN_GROUP }, () => SIGNS[randomInt(SIGNS.length)]).join('')
  return Array.from({ length: GROUPS }, group).join('-')
}

/** Whether somebody typed the code, with or without its strokes and capitals. */
export function isClaimCode(typed: string, code: string): boolean {
  const [one, other] = [typed, code].map((text) => Buffer.from(hashOfKey(text.toLowerCase().replace(/[\s-]/g, ''))))
  return timingSafeEqual(one!, other!)
}
