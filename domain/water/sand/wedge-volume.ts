import type { WedgeGeometry } from './body.ts'

/** How far upstream the sand reaches: depth at the wall over the difference of the slopes of bed and sand. */
export function throwbackM({ crestHeightM, bedSlope, sandSlope }: WedgeGeometry): number {
  return crestHeightM / (bedSlope - sandSlope)
}

/**
 * Bulk volume of wet sand, exactly: the lesser of a level water table and of the sand surface (lowered by `loweredM`),
 * above a bed that rises upstream. The depth falls in a straight line along each part, so that the volume of a part is
 * the area summed over depth, divided by the slope at which the depth falls.
 * Where both are level this is V(H) (y/H)^(m+1), m = 1 rectangle, 1.5 parabola, 2 triangle.
 */
export function wedgeVolumeM3(wedge: WedgeGeometry, waterDepthM: number, loweredM: number): number {
  const { bedSlope, sandSlope } = wedge
  const sandDepthM = wedge.crestHeightM - loweredM
  if (sandDepthM <= 0) return 0
  if (waterDepthM <= sandDepthM) return areaOverDepth(wedge, waterDepthM) / bedSlope
  // From the wall up to where the sloping sand surface meets the water table the sand ends first, then the water.
  const meetingDepthM = sandSlope === 0 ? 0 : waterDepthM - (bedSlope * (waterDepthM - sandDepthM)) / sandSlope
  const sandPart = areaOverDepth(wedge, sandDepthM) - areaOverDepth(wedge, meetingDepthM)
  return sandPart / (bedSlope - sandSlope) + areaOverDepth(wedge, meetingDepthM) / bedSlope
}

/** Section area as a share of width x height at the crest, and the power with which it grows with depth. */
const SECTIONS = {
  rectangle: { crestShare: 1, power: 1 },
  parabola: { crestShare: 2 / 3, power: 1.5 },
  triangle: { crestShare: 1 / 2, power: 2 },
} as const

/** The section area summed from the bed up to a depth, in m3: A0 H / (m + 1) (D/H)^(m+1); zero below the bed. */
function areaOverDepth(wedge: WedgeGeometry, depthM: number): number {
  if (depthM <= 0) return 0
  const { crestHeightM, crestWidthM, bottomWidthM } = wedge
  if (wedge.valleyShape === 'trapezoid') {
    const run = (crestWidthM - bottomWidthM) / (2 * crestHeightM)
    return (bottomWidthM * depthM ** 2) / 2 + (run * depthM ** 3) / 3
  }
  const { crestShare, power } = SECTIONS[wedge.valleyShape]
  const areaM2 = crestShare * crestWidthM * crestHeightM * (depthM / crestHeightM) ** power
  return (areaM2 * depthM) / (power + 1)
}
