/** A true sand body: wider upwards, coarse above and finer below, drying at its surface and leaking at its foot. */
export interface Sand {
  heightM: number
  /** Level surface of the water at a height grows with this power of it: 1 a trapezoid's wedge, 2 a V. */
  shape: number
  bulkM3: number
  /** Specific yield of the upper and the lower band, and the height of the border between them. */
  upperYield: number
  lowerYield: number
  borderM: number
  /** Depth of water at which evaporation has fallen to a third; finer sand draws it from deeper. */
  dryingDepthM: number
  /** Through the foot of the wall and the bed, for each metre of water above the bed. */
  leakM3PerDayPerM: number
}

const CELLS = 400

export interface Store {
  sand: Sand
  /** Water by height, on an even grid from the bed to the crest. */
  grid: Float64Array
  fullM3: number
}

export function storeOf(sand: Sand): Store {
  const grid = new Float64Array(CELLS + 1)
  const stepM = sand.heightM / CELLS
  for (let cell = 1; cell <= CELLS; cell++) {
    const middleM = (cell - 0.5) * stepM
    const specificYield = middleM > sand.borderM ? sand.upperYield : sand.lowerYield
    grid[cell] = grid[cell - 1]! + areaM2(sand, middleM) * stepM * specificYield
  }
  return { sand, grid, fullM3: grid[CELLS]! }
}

/** Water below a height, m3; heights outside the body count as its ends. */
export function storedM3({ sand, grid }: Store, levelM: number): number {
  const place = (Math.min(Math.max(levelM, 0), sand.heightM) / sand.heightM) * CELLS
  const cell = Math.min(CELLS - 1, Math.floor(place))
  return grid[cell]! + (grid[cell + 1]! - grid[cell]!) * (place - cell)
}

/** Height of the water that so much fills. */
export function levelM({ sand, grid }: Store, volumeM3: number): number {
  let [low, high] = [0, CELLS]
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (grid[middle]! <= volumeM3) low = middle
    else high = middle
  }
  const gapM3 = grid[high]! - grid[low]!
  const part = gapM3 > 0 ? Math.min(1, Math.max(0, (volumeM3 - grid[low]!) / gapM3)) : 0
  return ((low + part) / CELLS) * sand.heightM
}

/**
 * What the sand loses in a day, m3: evaporation that dies away with the depth of the water, and a leak by head. From a full
 * body 92 % of open water, about half at 0.3 m, a tenth at 0.6 m, nothing to speak of below 1 m: the figures commonly quoted
 * from Hellwig 1973, J. Hydrology 18 (memory), drawn through as a curve, since tank tests found an exponential decay.
 */
export function lossM3PerDay({ sand }: Store, atM: number, openWaterMm: number): number {
  const depthM = Math.max(0, sand.heightM - atM)
  const share = 0.92 * Math.exp(-((depthM / sand.dryingDepthM) ** 1.6))
  return (areaM2(sand, atM) * share * openWaterMm) / 1000 + sand.leakM3PerDayPerM * Math.max(0, atM)
}

function areaM2({ bulkM3, heightM, shape }: Sand, atM: number): number {
  return ((shape + 1) * bulkM3 * (Math.max(0, atM) / heightM) ** shape) / heightM
}
