import type { CalendarDate } from '../../calendar.ts'
import type { Id } from '../../id.ts'
import type { M3 } from '../../units.ts'

/** Prices are in minor units and may have decimals; only the amount of a slip is rounded. */
export type TariffPart =
  | { kind: 'per-m3'; blocks: readonly Block[] }
  | { kind: 'per-pump-hour'; priceMinor: number }
  | { kind: 'per-turn'; priceMinor: number }
  | { kind: 'no-show'; priceMinor: number }
  /** A part of what the turn would have cost, above 0 up to 1. */
  | { kind: 'no-show-part'; part: number }
  | { kind: 'per-share'; priceMinor: number; every: 'month' | 'season' }
  | { kind: 'per-hectare'; priceMinor: number; every: 'month' | 'season' }
  | { kind: 'flat'; priceMinor: number; every: 'month' | 'season' }

/** The price of each cubic metre up to a volume of the period, or of all that follow when `upToM3` is null. */
export interface Block {
  upToM3: M3 | null
  priceMinor: number
}

export interface Tariff {
  id: Id<'tariff'>
  /** It holds from this day until a later tariff of the same class takes over. */
  from: CalendarDate
  /** For one class of payer or use (for example tenant, school, drinking); null is for everyone else. */
  payerClass: string | null
  /** A mixed tariff has several parts. */
  parts: readonly TariffPart[]
}

/** Drinking water costs nothing unless the group has set a tariff for this very class. */
export const DRINKING = 'drinking'

/** The tariff that held on a day for a class: its own, else the general one; null when there was none. */
export function tariffOn({
  tariffs,
  on,
  payerClass,
}: {
  tariffs: readonly Tariff[]
  on: CalendarDate
  payerClass: string | null
}): Tariff | null {
  const own = latest(tariffs, on, payerClass)
  if (own || payerClass === null || payerClass === DRINKING) return own
  return latest(tariffs, on, null)
}

/** Of two tariffs from the same day, the one listed later holds: it was written later. */
function latest(tariffs: readonly Tariff[], on: CalendarDate, payerClass: string | null): Tariff | null {
  let found: Tariff | null = null
  for (const tariff of tariffs) {
    if (tariff.payerClass !== payerClass || tariff.from > on) continue
    if (!found || tariff.from >= found.from) found = tariff
  }
  return found
}

/** A tariff that can be worked with: blocks rise to an open end, no price is below nothing. */
export function tariffFault({ parts }: Pick<Tariff, 'parts'>): string | null {
  if (parts.length === 0) return 'tariff-has-no-parts'
  for (const part of parts) {
    if (part.kind === 'no-show-part') {
      if (!(part.part > 0 && part.part <= 1)) return 'part-not-of-one'
      continue
    }
    const prices = part.kind === 'per-m3' ? part.blocks.map((block) => block.priceMinor) : [part.priceMinor]
    if (prices.some((price) => !(price >= 0 && Number.isFinite(price)))) return 'price-below-zero'
    if (part.kind === 'per-m3' && !blocksRise(part.blocks)) return 'blocks-do-not-rise'
  }
  return null
}

function blocksRise(blocks: readonly Block[]): boolean {
  if (blocks.at(-1)?.upToM3 !== null) return false
  let below = 0
  for (const { upToM3 } of blocks.slice(0, -1)) {
    if (upToM3 === null || !(upToM3 > below)) return false
    below = upToM3
  }
  return true
}
