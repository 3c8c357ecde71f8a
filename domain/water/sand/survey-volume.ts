import type { CrossSection, ProbedPoint, SurveyGeometry } from './body.ts'

/** Bulk volume of wet sand between probed sections by average end area; the tail closes on an area of nothing. */
export function surveyVolumeM3(survey: SurveyGeometry, waterLevelM: number, loweredM: number): number {
  const chainagesM = survey.sections.map((section) => section.chainageM)
  const areasM2 = survey.sections.map((section) => saturatedAreaM2(section, waterLevelM, loweredM))
  if (survey.tailChainageM !== null) {
    chainagesM.push(survey.tailChainageM)
    areasM2.push(0)
  }
  return averageEndAreaM3({ chainagesM, areasM2 })
}

/**
 * Wet area of one section: between the bed and the lesser of water level and sand surface, straight lines between probes.
 * Crossing points are found, not cut off at the probes, which would overstate the area.
 */
export function saturatedAreaM2(section: CrossSection, waterLevelM: number, loweredM = 0): number {
  let areaM2 = 0
  section.points.forEach((right, index) => {
    const left = section.points[index - 1]
    if (left) areaM2 += areaBetweenM2(left, right, waterLevelM, loweredM)
  })
  return areaM2
}

function areaBetweenM2(left: ProbedPoint, right: ProbedPoint, waterLevelM: number, loweredM: number): number {
  const wetDepthAt = (share: number): number => {
    const sandM = along(left.sandLevelM, right.sandLevelM, share) - loweredM
    return Math.max(0, Math.min(waterLevelM, sandM) - along(left.bedLevelM, right.bedLevelM, share))
  }
  const gapM = right.offsetM - left.offsetM
  const crossings = [
    crossing(left.sandLevelM - loweredM - waterLevelM, right.sandLevelM - loweredM - waterLevelM),
    crossing(left.bedLevelM - waterLevelM, right.bedLevelM - waterLevelM),
    crossing(left.sandLevelM - loweredM - left.bedLevelM, right.sandLevelM - loweredM - right.bedLevelM),
  ].filter((share) => share !== null)
  if (crossings.length === 0) return (gapM * (wetDepthAt(0) + wetDepthAt(1))) / 2
  // Between these shares of the gap the wet depth is a straight line.
  const shares = [0, ...crossings.sort((a, b) => a - b), 1]
  return averageEndAreaM3({ chainagesM: shares.map((share) => share * gapM), areasM2: shares.map(wetDepthAt) })
}

function along(left: number, right: number, share: number): number {
  return left + (right - left) * share
}

/** Share of the way at which a straight line from one value to the other passes zero; null when it does not. */
function crossing(from: number, to: number): number | null {
  return from * to < 0 ? from / (from - to) : null
}

/**
 * Average end area: any spacing; slightly high where a body tapers to an edge or a point. Metres and square metres give m3.
 * Source: Punmia, Surveying, chapter on volumes; US Army FM 5-430, earthwork.
 */
function averageEndAreaM3({ chainagesM, areasM2 }: { chainagesM: number[]; areasM2: number[] }): number {
  let volumeM3 = 0
  for (let i = 1; i < areasM2.length; i++)
    volumeM3 += ((chainagesM[i]! - chainagesM[i - 1]!) * (areasM2[i]! + areasM2[i - 1]!)) / 2
  return volumeM3
}
