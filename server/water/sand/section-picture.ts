import { toTenth } from '../../../domain/units.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { longProfile, type ProfilePoint, wetProfile } from '../../../domain/water/sand/long-profile.ts'

/** Sand seen in one plane, across or along the stream, in the picture's own units. */
interface SandPicture {
  width: number
  height: number
  sand: string
  water: string
  bed: string
  top: string
  crestY: number
  probesX: number[]
  /** How many times steeper than life it stands. */
  exaggeration: number
}

const WIDTH = 400
const HEIGHT = 150
const MARGIN = { side: 10, top: 16, bottom: 8 }

export function sectionPictures(body: SandBody, waterLevelM: number | null): SandPicture[] {
  if (body.geometry.kind !== 'survey') return []
  return body.geometry.sections.map(({ points }) =>
    sandPicture({
      points: points.map(({ offsetM, sandLevelM, bedLevelM }) => ({ chainageM: offsetM, sandLevelM, bedLevelM })),
      crestLevelM: body.crestLevelM,
      waterLevelM,
    }),
  )
}

export function longPicture(body: SandBody, waterLevelM: number | null): SandPicture {
  return sandPicture({ points: longProfile({ body }), crestLevelM: body.crestLevelM, waterLevelM })
}

interface Plane {
  points: ProfilePoint[]
  crestLevelM: number
  waterLevelM: number | null
}

function sandPicture({ points, crestLevelM, waterLevelM }: Plane): SandPicture {
  const [leftM, rightM] = [points[0]!.chainageM, points.at(-1)!.chainageM]
  const topM = Math.max(crestLevelM, ...points.map((point) => point.sandLevelM))
  const lowM = Math.min(...points.map((point) => point.bedLevelM))
  const perMetreAlong = (WIDTH - 2 * MARGIN.side) / Math.max(rightM - leftM, 0.01)
  const perMetreUp = (HEIGHT - MARGIN.top - MARGIN.bottom) / Math.max(topM - lowM, 0.01)
  const x = (alongM: number) => toTenth(MARGIN.side + (alongM - leftM) * perMetreAlong)
  const y = (levelM: number) => toTenth(MARGIN.top + (topM - levelM) * perMetreUp)
  const line = (of: readonly ProfilePoint[], key: 'sandLevelM' | 'bedLevelM') =>
    of.map((point) => `${x(point.chainageM)},${y(point[key])}`)
  const shape = (of: readonly ProfilePoint[]) =>
    [...line(of, 'sandLevelM'), ...line(of, 'bedLevelM').reverse()].join(' ')
  const held =
    waterLevelM === null ? [] : wetProfile({ profile: points, waterLevelM: Math.min(waterLevelM, crestLevelM) })
  return {
    width: WIDTH,
    height: HEIGHT,
    sand: shape(points),
    water: shape(held),
    bed: line(points, 'bedLevelM').join(' '),
    top: line(points, 'sandLevelM').join(' '),
    crestY: y(crestLevelM),
    probesX: points.map((point) => x(point.chainageM)),
    exaggeration: perMetreUp / perMetreAlong,
  }
}
