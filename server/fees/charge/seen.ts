import { createHash } from 'node:crypto'
import type { DueCharge } from './due.ts'
import type { Reckoning } from './reckoning.ts'

/** A digest of every line that was shown, so that any change in between is noticed before they are posted. */
export function seenMark({ due }: Reckoning): string {
  return createHash('sha256')
    .update(JSON.stringify(due.map(lineOf).sort()))
    .digest('hex')
}

function lineOf({ accountId, abstractionId, missed, differenceMinor, followsId, lines }: DueCharge): string {
  return JSON.stringify([accountId, abstractionId, missed?.turnId ?? null, differenceMinor, followsId, lines])
}
