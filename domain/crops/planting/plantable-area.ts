import { InputError } from '../../input-error.ts'
import type { Range } from '../../units.ts'

export interface PlantableArea {
  /** First tranche: safe on the cautious side. */
  firstTrancheM2: number
  /** Second tranche: what a later level may allow, up to the likely area. */
  secondTrancheM2: number
  likelyM2: number
  netStoreM3: Range
  relativeErrorFraction: number | null
  method: 'root-of-squares' | 'corner' | 'nothing-left'
}

/** Above this the root of squares no longer describes the doubt of a quotient. Common practice, no source. */
const LARGEST_RELATIVE_ERROR = 0.3

/**
 * How much ground a stored volume carries to harvest, m2: (store - reserve - losses) / season need of a square metre.
 * Absolute errors of the volumes are combined as the root of squares, then the relative ones of volume and need; above 30 %
 * the cautious area is the corner: low net store, not below zero, over high need. Small stores give small areas: nothing is softened.
 */
export function plantableAreaM2(input: {
  storeM3: Range
  reserveM3: Range
  lossM3: Range
  seasonNeedM3PerM2: Range
}): PlantableArea {
  const { seasonNeedM3PerM2: need } = input
  for (const [name, range] of Object.entries(input)) checkRange(name, range)
  if (!(need.low > 0)) throw new InputError('season-need-not-above-zero', { low: need.low })
  const net = netStore(input)
  const likelyM2 = Math.max(0, net.likely) / need.likely
  if (likelyM2 === 0) return { ...nothing, netStoreM3: net }
  const volumeError = (net.likely - net.low) / net.likely
  const relative = Math.hypot(volumeError, (need.high - need.likely) / need.likely)
  const method = relative <= LARGEST_RELATIVE_ERROR ? 'root-of-squares' : 'corner'
  const firstTrancheM2 = method === 'corner' ? Math.max(0, net.low) / need.high : likelyM2 * (1 - relative)
  const secondTrancheM2 = likelyM2 - firstTrancheM2
  return { firstTrancheM2, secondTrancheM2, likelyM2, netStoreM3: net, relativeErrorFraction: relative, method }
}

const nothing: Omit<PlantableArea, 'netStoreM3'> = {
  firstTrancheM2: 0,
  secondTrancheM2: 0,
  likelyM2: 0,
  relativeErrorFraction: null,
  method: 'nothing-left',
}

function netStore({
  storeM3: store,
  reserveM3: reserve,
  lossM3: loss,
}: Record<'storeM3' | 'reserveM3' | 'lossM3', Range>) {
  const likely = store.likely - reserve.likely - loss.likely
  const below = Math.hypot(store.likely - store.low, reserve.high - reserve.likely, loss.high - loss.likely)
  const above = Math.hypot(store.high - store.likely, reserve.likely - reserve.low, loss.likely - loss.low)
  return { low: likely - below, likely, high: likely + above }
}

function checkRange(name: string, { low, likely, high }: Range): void {
  if (!(low >= 0 && low <= likely && likely <= high))
    throw new InputError('range-out-of-order', { name, low, likely, high })
}
