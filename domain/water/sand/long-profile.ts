import type { SandBody } from './body.ts'
import { throwbackM } from './wedge-volume.ts'

/** Bed and sand surface along the deepest line of the stream, at a distance upstream of the wall. */
export interface ProfilePoint {
  chainageM: number
  bedLevelM: number
  sandLevelM: number
}

/** The sand seen from the side, wall first. Between its points bed and sand are straight lines. */
export function longProfile({ body }: { body: SandBody }): ProfilePoint[] {
  const { geometry } = body
  if (geometry.kind === 'wedge') {
    const lengthM = throwbackM(geometry)
    const edgeLevelM = body.bedLevelM + geometry.bedSlope * lengthM
    return [
      { chainageM: 0, bedLevelM: body.bedLevelM, sandLevelM: body.crestLevelM },
      { chainageM: lengthM, bedLevelM: edgeLevelM, sandLevelM: edgeLevelM },
    ]
  }
  const points = geometry.sections.map(({ chainageM, points: probes }) => {
    const deepest = probes.reduce((lowest, probe) => (probe.bedLevelM < lowest.bedLevelM ? probe : lowest))
    return { chainageM, bedLevelM: deepest.bedLevelM, sandLevelM: deepest.sandLevelM }
  })
  const edge = points.at(-1)!
  if (geometry.tailChainageM === null) return points
  return [...points, { chainageM: geometry.tailChainageM, bedLevelM: edge.sandLevelM, sandLevelM: edge.sandLevelM }]
}

/**
 * The top of the wet sand along the profile for a level water table, with the points where the water meets bed or sand;
 * from the wall up to where the last water ends. Empty when the sand is dry.
 */
export function wetProfile({ profile, waterLevelM }: { profile: ProfilePoint[]; waterLevelM: number }): ProfilePoint[] {
  const wet = withCrossings(profile, waterLevelM).map(({ chainageM, bedLevelM, sandLevelM }) => ({
    chainageM,
    bedLevelM,
    sandLevelM: Math.max(bedLevelM, Math.min(waterLevelM, sandLevelM)),
  }))
  const lastWet = wet.findLastIndex((point) => point.sandLevelM > point.bedLevelM)
  return wet.slice(0, lastWet === -1 ? 0 : lastWet + 2)
}

function withCrossings(profile: ProfilePoint[], waterLevelM: number): ProfilePoint[] {
  return profile.flatMap((point, index) => {
    const next = profile[index + 1]
    if (!next) return [point]
    const shares = (['bedLevelM', 'sandLevelM'] as const)
      .map((line) => (waterLevelM - point[line]) / (next[line] - point[line]))
      .filter((share) => share > 0 && share < 1)
    return [point, ...shares.sort((a, b) => a - b).map((share) => between(point, next, share))]
  })
}

function between(from: ProfilePoint, to: ProfilePoint, share: number): ProfilePoint {
  const at = (key: keyof ProfilePoint) => from[key] + (to[key] - from[key]) * share
  return { chainageM: at('chainageM'), bedLevelM: at('bedLevelM'), sandLevelM: at('sandLevelM') }
}
