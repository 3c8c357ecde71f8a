import type { Id } from '../../id.ts'
import { sum } from '../../sum.ts'
import { toTenth } from '../../units.ts'
import type { SandBody } from './body.ts'
import { longProfile, type ProfilePoint, wetProfile } from './long-profile.ts'

interface PicturePoint {
  x: number
  y: number
}

interface LongSectionWeir {
  weirId: Id<'weir'>
  body: SandBody
  /** Null when there is no reading; then no water is drawn. */
  waterLevelM: number | null
  offTakeLevelM: number
}

/** One weir's reach, head to the left and wall to the right, in the picture's own units. */
interface LongSectionReach {
  weirId: Id<'weir'>
  bedLine: PicturePoint[]
  sandTop: PicturePoint[]
  /** Closed shapes; empty when there is nothing to draw. */
  sandPolygon: PicturePoint[]
  waterPolygon: PicturePoint[]
  /** The part of the water below the off-take, left for drawing by hand. */
  handDrawnPolygon: PicturePoint[]
  /** Surface of the water from the wall to where it ends; empty when dry or unread. */
  waterLine: PicturePoint[]
  wall: { x: number; width: number; topY: number; bottomY: number }
  offTake: PicturePoint
  crestY: number
  aboveCrest: boolean
}

interface LongSection {
  width: number
  height: number
  unitsPerMetreAlong: number
  unitsPerMetreUp: number
  /** How many times steeper than life the picture stands. */
  exaggeration: number
  reaches: LongSectionReach[]
  /** The stream between one wall's foot and the next reach: drawn short, not to scale. */
  breaks: { from: PicturePoint; to: PicturePoint }[]
}

const MARGIN = 12
const WALL_WIDTH = 6
const GAP = 14
const STEP_DOWN = 10

/**
 * Lays the reaches of one stream side by side, from the head down, all on one scale along and one scale up; only the
 * stretches of stream between them are shortened. Levels of different weirs need no common datum.
 */
export function longSectionGeometry({
  weirs,
  width = 720,
  height = 320,
}: {
  weirs: LongSectionWeir[]
  width?: number
  height?: number
}): LongSection {
  const profiles = weirs.map(({ body }) => longProfile({ body }))
  const lengthM = sum(profiles.map(lengthOfM))
  const risesM = weirs.map(
    ({ body }, i) => Math.max(body.crestLevelM, ...profiles[i]!.map((p) => p.sandLevelM)) - body.bedLevelM,
  )
  const unitsPerMetreAlong =
    (width - 2 * MARGIN - weirs.length * WALL_WIDTH - Math.max(0, weirs.length - 1) * GAP) / lengthM
  const unitsPerMetreUp = (height - 2 * MARGIN - Math.max(0, weirs.length - 1) * STEP_DOWN) / sum(risesM)
  const reaches: LongSectionReach[] = []
  let [leftX, topY] = [MARGIN, MARGIN]
  weirs.forEach((weir, i) => {
    const wallX = leftX + lengthOfM(profiles[i]!) * unitsPerMetreAlong
    const baseY = topY + risesM[i]! * unitsPerMetreUp
    const firstM = profiles[i]![0]!.chainageM
    const place = (chainageM: number, levelM: number): PicturePoint => ({
      x: toTenth(wallX - (chainageM - firstM) * unitsPerMetreAlong),
      y: toTenth(baseY - (levelM - weir.body.bedLevelM) * unitsPerMetreUp),
    })
    reaches.push(reach(weir, profiles[i]!, place))
    leftX = wallX + WALL_WIDTH + GAP
    topY = baseY + STEP_DOWN
  })
  return {
    width,
    height,
    unitsPerMetreAlong,
    unitsPerMetreUp,
    exaggeration: unitsPerMetreUp / unitsPerMetreAlong,
    reaches,
    breaks: reaches.slice(1).map((below, i) => {
      const { wall } = reaches[i]!
      return { from: { x: toTenth(wall.x + WALL_WIDTH), y: wall.bottomY }, to: below.bedLine[0]! }
    }),
  }
}

type Place = (chainageM: number, levelM: number) => PicturePoint

function reach(weir: LongSectionWeir, profile: ProfilePoint[], place: Place): LongSectionReach {
  const { body, waterLevelM, offTakeLevelM } = weir
  const firstM = profile[0]!.chainageM
  const waterM = waterLevelM === null ? null : Math.min(waterLevelM, body.crestLevelM)
  const wet = waterM === null ? [] : wetProfile({ profile, waterLevelM: waterM })
  const handDrawn = waterM === null ? [] : wetProfile({ profile, waterLevelM: Math.min(waterM, offTakeLevelM) })
  const foot = place(firstM, profile[0]!.bedLevelM)
  const crestY = place(firstM, body.crestLevelM).y
  return {
    weirId: weir.weirId,
    bedLine: line(profile, 'bedLevelM', place),
    sandTop: line(profile, 'sandLevelM', place),
    sandPolygon: polygon(profile, place),
    waterPolygon: polygon(wet, place),
    handDrawnPolygon: polygon(handDrawn, place),
    waterLine: line(wet, 'sandLevelM', place),
    wall: { x: foot.x, width: WALL_WIDTH, topY: crestY, bottomY: foot.y },
    offTake: place(firstM, offTakeLevelM),
    crestY,
    aboveCrest: waterLevelM !== null && waterLevelM > body.crestLevelM,
  }
}

/** From the head (left) to the wall (right). */
function line(profile: ProfilePoint[], key: 'bedLevelM' | 'sandLevelM', place: Place): PicturePoint[] {
  return profile.map((point) => place(point.chainageM, point[key])).reverse()
}

function polygon(profile: ProfilePoint[], place: Place): PicturePoint[] {
  return [...line(profile, 'sandLevelM', place), ...line(profile, 'bedLevelM', place).reverse()]
}

function lengthOfM(profile: ProfilePoint[]): number {
  return profile.at(-1)!.chainageM - profile[0]!.chainageM
}
