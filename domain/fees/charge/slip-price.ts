import { type Decimal, decimal, least, minus, ONE, plus, times, ZERO } from '../../money/decimal.ts'
import type { M3 } from '../../units.ts'
import type { Block, TariffPart } from '../tariff/tariff.ts'

const SECONDS_AN_HOUR = decimal(3600)

/** A price before rounding: `exact` over `over`, so that a third of a turn stays a third. */
export interface SlipPrice {
  quantity: number
  unit: 'm3' | 'h' | 'turn'
  exact: Decimal
  over: Decimal
}

interface SlipBasis {
  volumeM3: M3
  plannedM3?: M3
  pumpHours?: number
  noShow?: boolean
}

/** Null where this part has nothing to charge for: a turn that gave no water costs nothing. */
export function slipPrice(part: TariffPart, slip: SlipBasis, before: Decimal): SlipPrice | null {
  const { volumeM3, pumpHours = 0, noShow = false } = slip
  if (part.kind === 'no-show') {
    return noShow ? { quantity: 1, unit: 'turn', exact: decimal(part.priceMinor), over: ONE } : null
  }
  if (volumeM3 === 0) return null
  if (part.kind === 'per-m3') {
    const exact = blockPrice(part.blocks, before, decimal(volumeM3))
    return { quantity: volumeM3, unit: 'm3', exact, over: ONE }
  }
  if (part.kind === 'per-pump-hour') return pumpHourPrice(part.priceMinor, pumpHours)
  return part.kind === 'per-turn' ? turnPrice(part.priceMinor, slip) : null
}

/**
 * A part of what a turn that nobody took would have cost in full: by its volume, its pump hours and as a turn. Null where the turn
 * was taken, or where nothing was agreed to take a part of.
 */
export function missedPartPrice(
  parts: readonly TariffPart[],
  share: number,
  { plannedM3 = 0, pumpHours = 0, noShow = false }: SlipBasis,
): SlipPrice | null {
  if (!noShow || plannedM3 === 0) return null
  const whole = { volumeM3: plannedM3, plannedM3, pumpHours }
  let inFull = ZERO
  for (const part of parts) {
    const price = slipPrice(part, whole, ZERO)
    if (price) inFull = plus(inFull, price.over === ONE ? times(price.exact, SECONDS_AN_HOUR) : price.exact)
  }
  return { quantity: share, unit: 'turn', exact: times(inFull, decimal(share)), over: SECONDS_AN_HOUR }
}

/** Hours count to the whole second, because 20 minutes is not a decimal number of hours. */
function pumpHourPrice(priceMinor: number, pumpHours: number): SlipPrice {
  const seconds = decimal(Math.round(pumpHours * 3600))
  return { quantity: pumpHours, unit: 'h', exact: times(decimal(priceMinor), seconds), over: SECONDS_AN_HOUR }
}

/** A cut turn costs the part that was delivered; more than was planned is still one turn. */
function turnPrice(priceMinor: number, { volumeM3, plannedM3 }: SlipBasis): SlipPrice {
  if (!plannedM3 || volumeM3 >= plannedM3) return { quantity: 1, unit: 'turn', exact: decimal(priceMinor), over: ONE }
  const exact = times(decimal(priceMinor), decimal(volumeM3))
  return { quantity: volumeM3 / plannedM3, unit: 'turn', exact, over: decimal(plannedM3) }
}

/** The price of the cubic metres that follow those already drawn in the period. */
function blockPrice(blocks: readonly Block[], before: Decimal, volume: Decimal): Decimal {
  return minus(priceUpTo(blocks, plus(before, volume)), priceUpTo(blocks, before))
}

function priceUpTo(blocks: readonly Block[], drawn: Decimal): Decimal {
  let price = ZERO
  let from = ZERO
  for (const block of blocks) {
    const end = block.upToM3 === null ? drawn : least(drawn, decimal(block.upToM3))
    price = plus(price, times(minus(end, from), decimal(block.priceMinor)))
    from = end
  }
  return price
}
